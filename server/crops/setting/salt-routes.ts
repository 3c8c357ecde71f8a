import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { SaltForm } from './forms.ts'
import { cropSettings, setSaltWashing } from './store.ts'

/** The part of the water that washes salt down, as the group settles it. */
export function addSaltPages({ get, post }: Pages): void {
  get('/crops/settle/salt', 'crops.declare', newSalt)
  post('/crops/settle/salt', 'crops.declare', writeSalt)
}

async function newSalt(desk: Desk) {
  const fraction = (await cropSettings(desk.db, desk.today)).saltWashing?.fraction ?? 0
  return show(desk, emptyForm({ percent: String(Math.round(1000 * fraction) / 10), fromOn: desk.today }))
}

async function writeSalt(desk: Desk) {
  const form = readForm(SaltForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { percent, fromOn } = form.data
  return write(
    desk,
    (pen) => setSaltWashing(pen, { fromOn, fraction: percent / 100 }),
    () => '/crops/figures',
  )
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'setting.salt.title',
    intro: ['setting.salt.intro'],
    form: SaltForm,
    filled,
    action: '/crops/settle/salt',
    back: '/crops/figures',
  })
}
