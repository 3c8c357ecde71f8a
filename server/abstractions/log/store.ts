import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { type PlannedTurn, turnsOn } from '../../rotation/published/listed-store.ts'
import { abstractionRows } from '../draw/rows.ts'
import { type Abstraction, listAbstractions } from '../draw/store.ts'

export interface DayLog {
  turns: { turn: PlannedTurn; logged: Abstraction[] }[]
  /** Draws of the day that belong to no turn of that day. */
  others: Abstraction[]
  draws: Abstraction[]
}

/** A day's turns with what was logged for each, on whatever day, and the day's other lines. */
export async function dayLog(db: Database, on: CalendarDate): Promise<DayLog> {
  const turns = await turnsOn(db, on)
  const draws = await listAbstractions(db, { fromOn: on, toOn: on })
  const ids = new Set(turns.map((turn) => turn.id))
  const logged = await loggedOfTurns(db, [...ids])
  return {
    turns: turns.map((turn) => ({ turn, logged: logged.filter((draw) => draw.turnId === turn.id) })),
    others: draws.filter((draw) => draw.turnId === null || !ids.has(draw.turnId)),
    draws,
  }
}

/** What was logged for some turns, in the order of writing. */
export async function loggedOfTurns(db: Database, turnIds: readonly Id<'turn'>[]): Promise<Abstraction[]> {
  if (turnIds.length === 0) return []
  return abstractionRows(db)
    .where(standing('abstraction'))
    .where('abstraction.turnId', 'in', turnIds)
    .orderBy(asWritten)
    .execute()
}
