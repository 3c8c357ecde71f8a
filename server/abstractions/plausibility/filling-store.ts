import { cumsum } from 'd3-array'
import { addDays, type CalendarDate, type Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'
import type { MeterRead } from '../draw/meter-store.ts'
import type { Abstraction } from '../draw/store.ts'
import type { LogFlag } from './log-flag.ts'

export interface Filling {
  pumpId: Id<'pump'>
  onDate: string
  filledM3: M3
}

/** Meters are read to a tenth at best, so that a filling and a gap of as much are the same water. */
const SAME_M3 = 0.15
/** A gap opens at the next draw, which may be some days off. */
const DAYS_AROUND = 21

/** What the pumps put into their tanks around some days. */
export function fillingsAround(db: Database, { fromOn, toOn }: Days) {
  return db
    .selectFrom('tankDay')
    .innerJoin('tank', 'tank.entryId', 'tankDay.tankId')
    .select(['tank.pumpId', 'tankDay.onDate'])
    .select((eb) => eb.ref('tankDay.filledM3').$notNull().as('filledM3'))
    .where('tankDay.filledM3', '>', 0)
    .where('tankDay.onDate', '>=', addDays(fromOn, -DAYS_AROUND))
    .where('tankDay.onDate', '<=', addDays(toOn, DAYS_AROUND))
    .where(standing('tankDay'))
}

/** Water of a pump that was written without its meter: a stand, a trough, hours. */
export interface Unmetered {
  pumpId: Id<'pump'>
  onDate: string
  happenedAt: Instant
  volumeM3: M3
  uncertaintyM3: M3
}

/** What was written of the pumps around some days without their meters. */
export function unmeteredAround(db: Database, { fromOn, toOn }: Days) {
  return db
    .selectFrom('abstraction')
    .innerJoin('entry', 'entry.id', 'abstraction.entryId')
    .select((eb) => eb.ref('abstraction.pumpId').$notNull().as('pumpId'))
    .select(['abstraction.outletId', 'abstraction.onDate', 'entry.happenedAt'])
    .select(['abstraction.volumeM3', 'abstraction.uncertaintyM3'])
    .where('abstraction.pumpId', 'is not', null)
    .where('abstraction.method', '<>', 'meter')
    .where('abstraction.onDate', '>=', addDays(fromOn, -DAYS_AROUND))
    .where('abstraction.onDate', '<=', addDays(toOn, DAYS_AROUND))
    .where(standing('abstraction'))
}

/** Of these what did not come from a tank by gravity. */
export async function withoutTanks<R extends { outletId: Id<'outlet'> | null }>(
  db: Database,
  rows: readonly R[],
  on: CalendarDate,
): Promise<R[]> {
  const onTanks = await tankOutletsOn(db, on)
  return rows.filter(({ outletId }) => outletId === null || !onTanks.has(outletId))
}

interface Days {
  fromOn: CalendarDate
  toOn: CalendarDate
}

interface Gap {
  draw: Abstraction
  /** The reading of the meter before it. */
  before: MeterRead | undefined
  fillings: readonly Filling[]
  unmetered: readonly Unmetered[]
}

/** A gap to a neighbour that is just what was written of the pump meanwhile, beside its meter or into its tank, is no gap. */
export function isWritten(flag: LogFlag, { draw, before, fillings, unmetered }: Gap): boolean {
  if (flag.code !== 'gap-to-last-reading' && flag.code !== 'gap-to-next-reading') return false
  const own = before === undefined ? [] : unmetered.filter(({ pumpId }) => pumpId === draw.pumpId)
  // A line without a clock stands at noon, so that its day may be all that is known of it.
  const between = [
    own.filter(({ happenedAt }) => before!.happenedAt < happenedAt && happenedAt < draw.happenedAt),
    own.filter(({ onDate }) => before!.onDate <= onDate && onDate <= draw.onDate),
  ]
  const gapM3 = Number(flag.values.gapM3)
  const isAll = between.some(
    (lines) =>
      lines.length > 0 && Math.abs(gapM3 - sum(lines, volumeOf)) <= SAME_M3 + sum(lines, (one) => one.uncertaintyM3),
  )
  return (isAll && flag.code === 'gap-to-last-reading') || isFilling(flag, draw, fillings)
}

function volumeOf({ volumeM3 }: Unmetered): M3 {
  return volumeM3
}

/** Just what went into the tank meanwhile, on one day or on some in a row. */
function isFilling({ code, values }: LogFlag, draw: Abstraction, fillings: readonly Filling[]): boolean {
  if (code !== 'gap-to-last-reading' && code !== 'gap-to-next-reading') return false
  const own = fillings.filter(({ pumpId }) => pumpId === draw.pumpId)
  const meanwhile =
    code === 'gap-to-last-reading'
      ? own.filter(({ onDate }) => onDate <= draw.onDate).toSorted((a, b) => (a.onDate < b.onDate ? 1 : -1))
      : own.filter(({ onDate }) => onDate >= draw.onDate).toSorted((a, b) => (a.onDate < b.onDate ? -1 : 1))
  // A filling of the draw's own day may have come before it or after it.
  return [meanwhile, meanwhile.filter(({ onDate }) => onDate !== draw.onDate)].some((days) =>
    [...cumsum(days, ({ filledM3 }) => filledM3)].some((sumM3) => Math.abs(Number(values.gapM3) - sumM3) <= SAME_M3),
  )
}
