import { ascending, max, min } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { localInstant } from '../../web/pages/visit.ts'
import { pumpReadings } from '../../works/tank/store.ts'
import { minuteOf } from '../draw/facts.ts'
import type { MeterRead } from '../draw/meter-store.ts'
import type { Abstraction } from '../draw/store.ts'
import type { LogFlag } from './log-flag.ts'

/** A meter of class 2 errs by up to 5 per cent (ISO 4064, from memory); it is read twice, to a tenth. */
const beyondError = (saidM3: M3) => saidM3 * 1.1 + 0.2

interface SaidGiven {
  id: string
  pumpId: Id<'pump'>
  onDate: CalendarDate
  fromMinute: number
  givenM3: M3
}

/** What pumps were said to have given when some days were shared anew. */
export function saidGiven(db: Database, { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate }) {
  return db
    .selectFrom('dayChange')
    .innerJoin('dayGiven', 'dayGiven.entryId', 'dayChange.entryId')
    .select(['dayChange.entryId as id', 'pumpId', 'onDate', 'fromMinute', 'givenM3'])
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
    .where(standing('dayChange'))
}

interface Asked {
  draws: readonly Abstraction[]
  said: readonly SaidGiven[]
  /** The meters' readings, by pump: whether a start was read at all. */
  reads: ReadonlyMap<string, readonly MeterRead[]>
  timeZone: string
}

/**
 * Where a day was shared anew because a pump was said to have given little, though its meter, as the log has it, had shown more by that hour: at the end of a
 * draw, or at the start of the next one, which somebody else may have read. It is told at the draw whose reading shows that, by its id.
 */
export async function gaveMoreThanSaid(
  db: Database,
  { draws, said, reads, timeZone }: Asked,
): Promise<Map<string, LogFlag>> {
  const metered = draws.filter(({ method, closingM3 }) => method === 'meter' && closingM3 !== null)
  const days = metered.map(({ onDate }) => onDate)
  if (days.length === 0 || said.length === 0) return new Map()
  const readings = await pumpReadings(db, { fromOn: min(days)!, toOn: max(days)! })
  const flags = new Map<string, LogFlag>()
  for (const { id, pumpId, onDate, fromMinute, givenM3 } of said) {
    const ofDay = metered.filter((draw) => draw.pumpId === pumpId && draw.onDate === onDate)
    const unread = new Set((reads.get(pumpId) ?? []).filter((one) => one.startUnread).map((one) => one.id))
    const until = ofDay.flatMap((draw) => seenAt(draw, unread)).filter(({ at }) => minuteOf(at) <= fromMinute)
    const last = until.toSorted((a, b) => ascending(a.at, b.at) || a.shownM3 - b.shownM3).at(-1)
    const dawn = readings.findLast((one) => one.pumpId === pumpId && one.on === onDate && one.moment === 'dawn')
    const morningM3 = dawn?.reading ?? min(ofDay, ({ openingM3 }) => openingM3)
    if (!last || morningM3 == null) continue
    const readM3 = last.shownM3 - morningM3
    if (readM3 <= beyondError(givenM3)) continue
    const values = { givenM3, readM3, readAt: localInstant(onDate, last.at, timeZone) ?? onDate }
    flags.set(last.drawId, { code: 'pump-gave-more', likelyCause: 'one-misread', values, otherIds: [id] })
  }
  return flags
}

/** What the meter showed when, by one draw: at its end, and at its start where that was read. */
function seenAt({ id, startTime, endTime, openingM3, closingM3 }: Abstraction, unread: ReadonlySet<string>) {
  const start =
    startTime && openingM3 !== null && !unread.has(id) ? [{ drawId: id, at: startTime, shownM3: openingM3 }] : []
  return endTime ? [...start, { drawId: id, at: endTime, shownM3: closingM3! }] : start
}
