import { askedFacts } from '../../book/asked/store.ts'
import { mustStand } from '../../book/correction-store.ts'
import { write } from '../../book/pen.ts'
import { listPersons } from '../../people/person/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { clockHour } from '../clock.ts'
import { dayInWeek, dayOptions } from '../day-in-week.ts'
import { WithdrawalForm } from '../manual-change/forms.ts'
import { HoursForm } from './forms.ts'
import { addNoTurnHours, noTurnHoursOn, strikeNoTurnHours } from './hours-store.ts'

/** Hours at which somebody takes no turn, and their end: written by that person, or by whoever keeps the log for them. */
export function addHoursPages({ get, post }: Pages): void {
  get('/people/settle/hours', 'water.request', newHours)
  post('/people/settle/hours', 'water.request', writeHours)
  get('/people/settle/hours/:id', 'water.request', newWithdrawal)
  post('/people/settle/hours/:id', 'water.request', writeWithdrawal)
}

async function newHours(desk: Desk) {
  return show(desk, emptyForm({ personId: desk.person.id, fromOn: desk.today }))
}

async function writeHours(desk: Desk) {
  const form = readForm(HoursForm, desk.body)
  if (!form.ok) return show(desk, form)
  onlyIfWrites(desk, form.data.personId)
  const { personId, weekday, fromTime, toTime, words, fromOn, untilOn } = form.data
  if (!(await listPersons(desk.db)).some((person) => person.id === personId)) {
    return show(desk, withError(form, 'personId', 'error.choose'))
  }
  const fromHour = fromTime ? clockHour(fromTime) : 0
  const toHour = toTime ? clockHour(toTime) : 24
  if (fromHour >= toHour) return show(desk, withError(form, 'toTime', 'constraint.hours-backwards'))
  if (untilOn !== null && untilOn < fromOn) return show(desk, withError(form, 'untilOn', 'constraint.days-backwards'))
  const hours = {
    personId,
    fromOn,
    untilOn,
    ...dayInWeek(weekday),
    fromHour,
    toHour,
    words,
  }
  return write(
    desk,
    (pen) => addNoTurnHours(pen, hours, askedFacts(form.data)),
    () => '/works',
  )
}

async function newWithdrawal(desk: Desk<'id'>) {
  const hours = await hoursFor(desk)
  return showWithdrawal(desk, hours.id, emptyForm())
}

async function writeWithdrawal(desk: Desk<'id'>) {
  await mustStand(desk.db, desk.params.id)
  const hours = await hoursFor(desk)
  const form = readForm(WithdrawalForm, desk.body)
  if (!form.ok) return showWithdrawal(desk, hours.id, form)
  return write(
    desk,
    (pen) => strikeNoTurnHours(pen, hours.id, form.data.reason),
    () => '/works',
  )
}

/** The hours, for whoever may end them. */
async function hoursFor(desk: Desk<'id'>) {
  const all = await noTurnHoursOn(desk.db, '0001-01-01', '9999-12-31')
  const hours = found(all.find(({ id }) => id === desk.params.id))
  onlyIfWrites(desk, hours.personId)
  return hours
}

/** Hours keep turns away from a household, so that they cut its water: nobody writes them for somebody else. */
export function mayWriteHours({ person, may }: Desk, personId: string): boolean {
  return personId === person.id || may('abstraction.log')
}

function onlyIfWrites(desk: Desk, personId: string): void {
  if (!mayWriteHours(desk, personId)) throw new PageError(403, 'error.not-theirs')
}

async function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'constraint.hours-title',
    form: HoursForm,
    filled,
    action: '/people/settle/hours',
    options: {
      personId: (await listPersons(desk.db)).filter(({ id }) => mayWriteHours(desk, id)).map(numberedOption),
      weekday: dayOptions(desk, [desk.today], 'constraint.hours.weekday'),
    },
    intro: ['constraint.hours-intro'],
    back: '/works',
  })
}

function showWithdrawal(desk: Desk, id: string, filled: Filled) {
  return formPage(desk, {
    title: 'constraint.hours-end-title',
    form: WithdrawalForm,
    filled,
    action: `/people/settle/hours/${id}`,
    intro: ['constraint.hours-end-intro'],
    back: '/works',
  })
}
