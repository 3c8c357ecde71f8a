import { rollups } from 'd3-array'
import type { Database } from '../../database/connection.ts'
import type { BookedTurn } from '../published/turn-store.ts'
import { unsettledOf } from './settled-state.ts'
import { openTurns } from './waiting-store.ts'

export interface Unsettled {
  on: string
  count: number
}

/**
 * Turns that are over, by day, of which nobody wrote anything: they count as drawn until somebody does. What a fault kept from
 * coming is no such turn; it counts as lost in a common breakdown.
 */
export async function unsettledByDay(
  db: Database,
  turns: readonly BookedTurn[],
  now: { today: string; minute: number },
): Promise<Unsettled[]> {
  const over = turns.filter((turn) => !turn.droppedBy && isOver(turn, now))
  const unsettled = await unsettledOf(db, over)
  const days = new Map<string, number>()
  for (const { bookId, on } of over) {
    if (unsettled.has(bookId)) days.set(on, (days.get(on) ?? 0) + 1)
  }
  return [...days].map(([on, count]) => ({ on, count })).sort((a, b) => (a.on < b.on ? -1 : 1))
}

/** The same for the season up to yesterday, on which a draft rests. */
export async function untypedByDay(
  db: Database,
  { fromOn, today }: { fromOn: string; today: string },
): Promise<Unsettled[]> {
  const turns = await openTurns(db, fromOn, today)
  return rollups(
    turns,
    (ofDay) => ofDay.length,
    ({ on }) => on,
  )
    .map(([on, count]) => ({ on, count }))
    .sort((a, b) => (a.on < b.on ? -1 : 1))
}

function isOver(
  { on, endMinute }: Pick<BookedTurn, 'on' | 'endMinute'>,
  { today, minute }: { today: string; minute: number },
): boolean {
  return on < today || (on === today && endMinute <= minute)
}
