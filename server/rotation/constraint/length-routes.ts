import { TURN_RULES } from '../../../domain/rotation/draft/limits.ts'
import type { TurnLengths } from '../../../domain/rotation/week/turn-facts.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { LengthForm } from './forms.ts'
import { setTurnLengths, turnLengthsOn } from './length-store.ts'

/** How long a turn lasts at least and at most, and the minutes between two. */
export function addLengthPages({ get, post }: Pages): void {
  get('/turns/settle/lengths', 'works.describe', newLengths)
  post('/turns/settle/lengths', 'works.describe', writeLengths)
}

async function newLengths(desk: Desk) {
  const lengths: TurnLengths = { ...TURN_RULES, ...(await turnLengthsOn(desk.db, desk.today)) }
  const typed = {
    shortestMinutes: String(lengths.minTurnMinutes),
    longestMinutes: String(lengths.maxTurnMinutes ?? ''),
    changeoverMinutes: String(lengths.changeoverMinutes),
    fromOn: desk.today,
  }
  return show(desk, emptyForm(typed))
}

async function writeLengths(desk: Desk) {
  const form = readForm(LengthForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { shortestMinutes, longestMinutes } = form.data
  if (longestMinutes !== null && longestMinutes < shortestMinutes) {
    return show(desk, withError(form, 'longestMinutes', 'constraint.length-crossed'))
  }
  return write(
    desk,
    (pen) => setTurnLengths(pen, form.data),
    () => '/works',
  )
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'constraint.length-title',
    intro: ['constraint.length-intro'],
    form: LengthForm,
    filled,
    action: '/turns/settle/lengths',
    back: '/works',
  })
}
