import { cumsum } from 'd3-array'
import { addDays } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
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

/** What the pumps put into their tanks around the days of some draws. */
export async function fillingsAround(db: Database, draws: readonly Abstraction[]): Promise<Filling[]> {
  const days = draws.map(({ onDate }) => onDate).toSorted()
  if (days.length === 0) return []
  return db
    .selectFrom('tankDay')
    .innerJoin('tank', 'tank.entryId', 'tankDay.tankId')
    .select(['tank.pumpId', 'tankDay.onDate'])
    .select((eb) => eb.ref('tankDay.filledM3').$notNull().as('filledM3'))
    .where('tankDay.filledM3', '>', 0)
    .where('tankDay.onDate', '>=', addDays(days[0]!, -DAYS_AROUND))
    .where('tankDay.onDate', '<=', addDays(days.at(-1)!, DAYS_AROUND))
    .where(standing('tankDay'))
    .execute()
}

/** A gap to a neighbour that is just what went into the tank meanwhile, on one day or on some in a row, is no gap. */
export function isFilling({ code, values }: LogFlag, draw: Abstraction, fillings: readonly Filling[]): boolean {
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
