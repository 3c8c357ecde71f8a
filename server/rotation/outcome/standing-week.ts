import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'
import { type BookedTurn, bookedTurns, type PublishedShown } from '../published/turn-store.ts'
import { outcomesOf, saidOf } from './store.ts'

export interface StandingWeek extends PublishedShown {
  /** Turns on the list that nobody has called off or missed. */
  standing: BookedTurn[]
}

/** A published week with the turns that stand; undefined for a draft. */
export async function standingWeek(db: Database, weekStartOn: CalendarDate): Promise<StandingWeek | undefined> {
  const week = await bookedTurns(db, weekStartOn)
  if (!week) return undefined
  const turns = week.turns.filter((turn) => !turn.droppedBy)
  const outcomes = await outcomesOf(
    db,
    turns.map((turn) => turn.bookId),
  )
  return { ...week, standing: turns.filter((turn) => !saidOf(outcomes, turn.bookId).missed) }
}
