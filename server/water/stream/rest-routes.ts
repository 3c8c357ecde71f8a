import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { listWeirs } from '../weir/store.ts'
import { SetAsideForm } from './forms.ts'
import { addSetAside, restDaysAmong } from './rest-store.ts'

/** One rest day is set aside: somebody asks with the reason, and two others put their names under it. */
export function addRestPages({ get, post }: Pages): void {
  get('/water/settle/rest-set-aside', 'rule.set', newSetAside)
  post('/water/settle/rest-set-aside', 'rule.set', writeSetAside)
}

async function newSetAside(desk: Desk) {
  return show(desk, emptyForm({ onDate: desk.query.on ?? desk.today }))
}

async function writeSetAside(desk: Desk) {
  const form = readForm(SetAsideForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { onDate: on, weirId, reason } = form.data
  if (on < desk.today) return show(desk, withError(form, 'onDate', 'stream.set-aside.past'))
  const [rest] = await restDaysAmong(desk.db, [on])
  if (!rest) return show(desk, withError(form, 'onDate', 'stream.set-aside.no-rest'))
  if (weirId !== null && !rest.weirIds.includes(weirId)) {
    return show(desk, withError(form, 'weirId', 'stream.set-aside.no-rest'))
  }
  return write(
    desk,
    (pen) => addSetAside(pen, { on, weirId, reason }),
    () => '/water/stream',
  )
}

async function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'stream.set-aside.title',
    form: SetAsideForm,
    filled,
    options: { weirId: (await listWeirs(desk.db)).map(numberedOption) },
    action: '/water/settle/rest-set-aside',
    intro: ['stream.set-aside.intro'],
    back: '/water/stream',
  })
}
