import type { FastifyRequest } from 'fastify'
import { isCalendarDate, weekEndOn, weekStartOf } from '../../../domain/calendar.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { Database } from '../../database/connection.ts'
import { currentGroup } from '../../people/group/store.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { type NamedTurn, namedTurn } from '../published/named-turn.ts'
import { bookedTurns } from '../published/turn-store.ts'
import { shownWeek } from '../week/view.ts'

/** A week as the committee's hand finds it: the turns that stand, and under which id a change names them. */
export interface HandWeek {
  weekStartOn: string
  inputs: WeekInputs
  isPublished: boolean
  turns: (NamedTurn & { bookId: string | null })[]
}

/** 404 for a day on which no week begins, 409 for a week that is over. */
export async function handWeek(db: Database, request: FastifyRequest): Promise<HandWeek> {
  const { start } = request.params as { start: string }
  const group = found(await currentGroup(db))
  if (!isCalendarDate(start) || weekStartOf(start, group.firstWeekday) !== start) found(undefined)
  if (weekEndOn(start) < request.visit.today) throw new PageError(409, 'rotation.week-over')
  const published = await bookedTurns(db, start)
  if (published) {
    const turns = published.turns.filter((turn) => !turn.droppedBy)
    return { weekStartOn: start, inputs: published.inputs, isPublished: true, turns }
  }
  const week = await shownWeek(db, { group, weekStartOn: start, today: request.visit.today })
  if (!week) throw new PageError(409, 'rotation.no-rule')
  const turns = week.results.turns.map((turn) => ({ ...namedTurn(week.inputs, turn), bookId: null }))
  return { weekStartOn: start, inputs: week.inputs, isPublished: false, turns }
}

export function turnById(week: HandWeek, id: string | undefined): HandWeek['turns'][number] {
  return found(week.turns.find((turn) => turn.id === id))
}

/** The turns without the names that pages show. */
export function plainTurns(week: HandWeek): PlannedTurn[] {
  return week.turns.map(({ plot: _, outlet: __, pump: ___, ...turn }) => turn)
}
