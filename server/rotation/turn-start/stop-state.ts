import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { stopReadingM3 } from '../../../domain/rotation/outcome/stop-reading.ts'
import type { M3 } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import { listPumps } from '../../works/pump/store.ts'
import type { BookedTurn } from '../published/turn-store.ts'
import { startsOf } from './store.ts'

interface Metered {
  bookId: Id<'turn'>
  pumpId: Id<'pump'>
  on: CalendarDate
  startMinute: number
  endMinute: number
  volumeM3: M3
  /** Its water comes from a tank, past the pump's meter. */
  isFromTank: boolean
}

/**
 * Where the meter of each turn whose start was read is to stand at its end. A turn beside which another runs on the same meter has
 * no such reading: the wheels count both.
 */
export async function stopReadings(db: Database, turns: readonly Metered[]): Promise<ReadonlyMap<Id<'turn'>, M3>> {
  const alone = turns.filter((turn) => hasMeterToItself(turn, turns))
  const starts = await startsOf(
    db,
    alone.map(({ bookId }) => bookId),
  )
  if (starts.size === 0) return new Map()
  const pumps = new Map((await listPumps(db, alone[0]!.on)).map((pump) => [pump.id, pump]))
  return new Map(
    alone.flatMap(({ bookId, pumpId, volumeM3 }) => {
      const [startM3, pump] = [starts.get(bookId), pumps.get(pumpId)]
      if (startM3 === undefined || !pump) return []
      return [[bookId, stopReadingM3({ startM3, volumeM3, meterDigits: pump.meterDigits })] as const]
    }),
  )
}

export function meteredTurn(turn: BookedTurn): Metered {
  return { ...turn, isFromTank: Boolean(turn.outlet?.tank) }
}

export function hasMeterToItself(turn: Metered, turns: readonly Metered[]): boolean {
  const meets = (other: Metered) =>
    other.bookId !== turn.bookId &&
    other.pumpId === turn.pumpId &&
    other.on === turn.on &&
    !other.isFromTank &&
    other.startMinute < turn.endMinute &&
    turn.startMinute < other.endMinute
  return !turn.isFromTank && !turns.some(meets)
}
