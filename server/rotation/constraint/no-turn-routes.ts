import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { listPumps } from '../../works/pump/store.ts'
import { NoTurnDayForm } from './forms.ts'
import { addNoTurnDay } from './no-turn-store.ts'

/** Days without turns: rest, market, mourning, school, repair. */
export function addNoTurnDayPages({ get, post }: Pages): void {
  get('/turns/settle/no-turn-day', 'rule.set', newNoTurnDay)
  post('/turns/settle/no-turn-day', 'rule.set', writeNoTurnDay)
}

async function newNoTurnDay(desk: Desk) {
  return show(desk, emptyForm())
}

async function writeNoTurnDay(desk: Desk) {
  const form = readForm(NoTurnDayForm, desk.body)
  if (!form.ok) return show(desk, form)
  if (form.data.onDate < desk.today) return show(desk, withError(form, 'onDate', 'rotation.no-turn-day.past'))
  return write(
    desk,
    (pen) => addNoTurnDay(pen, form.data),
    () => '/turns',
  )
}

async function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'rotation.no-turn-day.title',
    form: NoTurnDayForm,
    filled,
    options: { pumpId: (await listPumps(desk.db, desk.today)).map(numberedOption) },
    action: '/turns/settle/no-turn-day',
    intro: ['rotation.no-turn-day.intro'],
    back: '/turns',
  })
}
