import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'
import type { BookedTurn } from '../published/turn-store.ts'
import { loggedM3 } from './season.ts'
import { standingWeek } from './standing-week.ts'
import { outcomesOf, saidOf } from './store.ts'
import { struckByFaults } from './waiting-store.ts'

/** The turns of a published week that nobody has called off or missed; none of a draft. */
export async function standingTurns(db: Database, weekStartOn: CalendarDate): Promise<BookedTurn[]> {
  return (await standingWeek(db, weekStartOn))?.standing ?? []
}

/** Of these turns those of which nobody has written anything; what a fault kept from coming is none of them. */
export async function unsettledOf(db: Database, turns: readonly BookedTurn[]): Promise<ReadonlySet<string>> {
  const ids = turns.map(({ bookId }) => bookId)
  const [logged, outcomes] = [await loggedM3(db, ids), await outcomesOf(db, ids)]
  const isStruck = await struckByFaults(db)
  const unsettled = turns.filter(
    (turn) => !logged.has(turn.bookId) && !saidOf(outcomes, turn.bookId).missed && !isStruck(turn),
  )
  return new Set(unsettled.map(({ bookId }) => bookId))
}
