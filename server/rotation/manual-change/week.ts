import { type CalendarDate, isCalendarDate } from '../../../domain/calendar.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { isWeekOver, weekStartOf } from '../../../domain/weeks.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { type NamedTurn, namedTurn } from '../published/named-turn.ts'
import { bookedTurns } from '../published/turn-store.ts'
import { shownWeek } from '../week/view.ts'

/** A turn of the week, and under which id a change names it; null in a draft. */
export type ChangeableTurn = NamedTurn & { bookId: string | null }

/** A week as a manual change finds it: the turns that stand. */
export interface ChangeableWeek {
  weekStartOn: CalendarDate
  inputs: WeekInputs
  isPublished: boolean
  turns: ChangeableTurn[]
}

/** 404 for a day on which no week begins, 409 for a week that is over. */
export async function changeableWeek({ db, group, today, params, parts }: Desk<'start'>): Promise<ChangeableWeek> {
  const weekStartOn = params.start
  if (!isCalendarDate(weekStartOn) || weekStartOf(weekStartOn, group) !== weekStartOn) found(undefined)
  if (isWeekOver(weekStartOn, group, today)) throw new PageError(409, 'rotation.week-over')
  const published = await bookedTurns(db, weekStartOn)
  if (published) {
    const turns = published.turns.filter((turn) => !turn.droppedBy)
    return { weekStartOn, inputs: published.inputs, isPublished: true, turns }
  }
  const week = await shownWeek(db, parts.rotation, { group, weekStartOn, today })
  if (!week) throw new PageError(409, 'rotation.no-rule')
  const turns = week.results.turns.map((turn) => ({ ...namedTurn(week.inputs, turn), bookId: null }))
  return { weekStartOn, inputs: week.inputs, isPublished: false, turns }
}

export function turnById(week: ChangeableWeek, id: string | undefined): ChangeableTurn {
  return found(week.turns.find((turn) => turn.id === id))
}

/** The turns without the names that pages show. */
export function plainTurns(week: ChangeableWeek): PlannedTurn[] {
  return week.turns.map(({ plot: _, outlet: __, pump: ___, ...turn }) => turn)
}
