import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { firstPlaces } from './correction-store.ts'

export interface MeterRead {
  id: string
  onDate: string
  openingM3: M3
  closingM3: M3
}

/**
 * The standing meter readings of a pump in the order in which they were read: by the instant of the draw, and at the
 * same instant by the place in the book where each was first written, so that a correction keeps its neighbours.
 */
export async function meterReads(db: Database, pumpId: Id<'pump'>): Promise<MeterRead[]> {
  const rows = await db
    .selectFrom('abstraction')
    .innerJoin('entry', 'entry.id', 'abstraction.entryId')
    .select(['entry.id', 'onDate', 'openingM3', 'closingM3', 'happenedAt', 'seq'])
    .where('pumpId', '=', pumpId)
    .where('method', '=', 'meter')
    .where(standing('abstraction'))
    .execute()
  const places = await firstPlaces(db)
  return [...rows, ...(await exchangesAlone(db, pumpId))]
    .map((row) => ({ ...row, place: places.get(row.id) ?? row.seq }))
    .sort((a, b) => a.happenedAt.localeCompare(b.happenedAt) || a.place - b.place)
    .map(({ id, onDate, openingM3, closingM3 }) => ({ id, onDate, openingM3: openingM3!, closingM3: closingM3! }))
}

/**
 * A meter that was replaced between two draws: the old one's last reading should join the draw before it, and the next draw
 * begins with the new one's first.
 */
async function exchangesAlone(db: Database, pumpId: Id<'pump'>) {
  return db
    .selectFrom('pumpMeter')
    .innerJoin('entry', 'entry.id', 'pumpMeter.entryId')
    .select(['entry.id', 'onDate', 'oldLastM3 as openingM3', 'newFirstM3 as closingM3'])
    .select(['happenedAt', 'seq'])
    .where('entry.kind', '=', 'pump-meter')
    .where('pumpId', '=', pumpId)
    .where(standing('pumpMeter'))
    .execute()
}

/** The readings of the same meter before and after an entry; undefined at the ends. */
export function neighboursOf(reads: readonly MeterRead[], id: string) {
  const at = reads.findIndex((read) => read.id === id)
  if (at < 0) return {}
  return { previousClosingM3: reads[at - 1]?.closingM3, nextOpeningM3: reads[at + 1]?.openingM3 }
}

/** The last reading of a pump's meter in the book; undefined while there is none. */
export async function lastClosing(db: Database, pumpId: Id<'pump'>): Promise<MeterRead | undefined> {
  return (await meterReads(db, pumpId)).at(-1)
}
