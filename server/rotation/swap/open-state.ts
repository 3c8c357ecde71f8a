import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import { weekStartOf } from '../../../domain/weeks.ts'
import type { Database } from '../../database/connection.ts'
import { type BookedTurn, turnInBook } from '../published/turn-store.ts'
import { swapsSince } from './store.ts'

/** A swap or gift of a turn to come, and the plots whose word is still wanted. */
interface OpenSwap {
  turn: BookedTurn
  byName: string
  silent: Id<'plot'>[]
}

/** Those in which somebody has not spoken yet. */
export async function openSwaps(db: Database, group: Group, today: CalendarDate): Promise<OpenSwap[]> {
  const open: OpenSwap[] = []
  for (const { turnId, toPlotId, consents, declined, byName } of await swapsSince(db, weekStartOf(today, group))) {
    const turn = (await turnInBook(db, turnId))?.turn
    if (!turn || turn.on < today || declined.length > 0) continue
    const silent = [turn.plotId, toPlotId].filter((id) => !consents.some(({ plotId }) => plotId === id))
    if (silent.length > 0) open.push({ turn, byName, silent })
  }
  return open
}
