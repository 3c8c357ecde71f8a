import type { Database } from '../database/connection.ts'
import { loggedM3 } from './outcome-season.ts'
import { outcomesOf, saidOf } from './outcome-store.ts'
import type { BookedTurn } from './slip-turns.ts'

export interface Unsettled {
  on: string
  count: number
}

/** Turns that are over, by day, of which nobody wrote anything: they count as nothing until somebody does. */
export async function unsettledByDay(
  db: Database,
  turns: readonly BookedTurn[],
  now: { today: string; minute: number },
): Promise<Unsettled[]> {
  const over = turns.filter((turn) => !turn.droppedBy && isOver(turn, now))
  const ids = over.map((turn) => turn.bookId)
  const [logged, outcomes] = [await loggedM3(db, ids), await outcomesOf(db, ids)]
  const days = new Map<string, number>()
  for (const { bookId, on } of over)
    if (!logged.has(bookId) && !saidOf(outcomes, bookId).missed) days.set(on, (days.get(on) ?? 0) + 1)
  return [...days].map(([on, count]) => ({ on, count })).sort((a, b) => (a.on < b.on ? -1 : 1))
}

export function isOver(
  { on, endMinute }: Pick<BookedTurn, 'on' | 'endMinute'>,
  { today, minute }: { today: string; minute: number },
): boolean {
  return on < today || (on === today && endMinute <= minute)
}
