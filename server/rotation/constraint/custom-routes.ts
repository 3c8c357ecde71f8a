import { write } from '../../book/pen.ts'
import { listPersons } from '../../people/person/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { clockHour } from '../clock.ts'
import { dayInWeek, dayOptions } from '../day-in-week.ts'
import { WithdrawalForm } from '../manual-change/forms.ts'
import { addCustom, customsOn, strikeCustom } from './custom-store.ts'
import { CustomForm } from './forms.ts'

/** What a group or a household keeps free of turns by custom: rest and market days, prayers, mourning, school terms. */
export function addCustomPages({ get, post }: Pages): void {
  get('/turns/settle/custom', 'rule.set', newCustom)
  post('/turns/settle/custom', 'rule.set', writeCustom)
  get('/turns/settle/custom/:id', 'rule.set', showWithdrawal)
  post('/turns/settle/custom/:id', 'rule.set', writeWithdrawal)
}

async function newCustom(desk: Desk) {
  return show(desk, emptyForm({ fromOn: desk.today }))
}

async function writeCustom(desk: Desk) {
  const form = readForm(CustomForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { cause, personId, day, fromTime, toTime, words, fromOn, untilOn } = form.data
  if (fromOn < desk.today) return show(desk, withError(form, 'fromOn', 'rotation.no-turn-day.past'))
  if (personId !== null && !(await listPersons(desk.db)).some(({ id }) => id === personId))
    return show(desk, withError(form, 'personId', 'error.choose'))
  const fromHour = fromTime ? clockHour(fromTime) : 0
  const toHour = toTime ? clockHour(toTime) : 24
  if (fromHour >= toHour) return show(desk, withError(form, 'toTime', 'constraint.hours-backwards'))
  if (untilOn !== null && untilOn < fromOn) return show(desk, withError(form, 'untilOn', 'constraint.days-backwards'))
  const isEveryDay = day === null && fromHour === 0 && toHour === 24
  if (isEveryDay && untilOn === null) return show(desk, withError(form, 'untilOn', 'constraint.custom.endless'))
  const custom = { cause, personId, fromOn, untilOn, ...dayInWeek(day), fromHour, toHour, words }
  return write(
    desk,
    (pen) => addCustom(pen, custom),
    () => '/works',
  )
}

async function writeWithdrawal(desk: Desk<'id'>) {
  const form = readForm(WithdrawalForm, desk.body)
  if (!form.ok) return showWithdrawal(desk, form)
  return write(
    desk,
    (pen) => strikeCustom(pen, desk.params.id, form.data.reason),
    () => '/works',
  )
}

async function showWithdrawal(desk: Desk<'id'>, filled: Filled = emptyForm()) {
  const custom = found((await customsOn(desk.db, desk.today, '9999-12-31')).find(({ id }) => id === desk.params.id))
  return formPage(desk, {
    title: 'constraint.custom.end-title',
    titleValues: { words: custom.words },
    form: WithdrawalForm,
    filled,
    action: `/turns/settle/custom/${custom.id}`,
    intro: ['constraint.hours-end-intro'],
    back: '/works',
  })
}

async function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'constraint.custom.title',
    form: CustomForm,
    filled,
    options: {
      personId: (await listPersons(desk.db)).map(numberedOption),
      day: dayOptions(desk, [desk.today], 'constraint.hours.weekday'),
    },
    action: '/turns/settle/custom',
    intro: ['constraint.custom.intro'],
    back: '/works',
  })
}
