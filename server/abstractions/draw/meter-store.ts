import { group } from 'd3-array'
import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { kept } from '../../book/kept-answers.ts'
import { askTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { correctionsOfDraws, firstPlaces } from './correction-store.ts'

export interface MeterRead {
  id: string
  onDate: string
  openingM3: M3
  closingM3: M3
  happenedAt: Instant
  /** A line of the log, not a meter hung between two. */
  isDraw: boolean
  /** The meter was hung anew during the draw, so that its start is not judged against the closing before. */
  replaced: boolean
  /** Nobody read the start; the closing before stands in. */
  startUnread: boolean
}

/**
 * The standing meter readings of a pump in the order in which they were read: by the instant of the draw, and at the
 * same instant by the place in the book where each was first written, so that a correction keeps its neighbours.
 */
export async function meterReads(db: Database, pumpId: Id<'pump'>): Promise<readonly MeterRead[]> {
  return (await meterReadsOf(db, [pumpId])).get(pumpId)!
}

/** The same of several pumps, by pump. */
export async function meterReadsOf(
  db: Database,
  pumpIds: readonly Id<'pump'>[],
): Promise<ReadonlyMap<string, readonly MeterRead[]>> {
  if (pumpIds.length === 0) return new Map()
  return kept(db, 'meter reads', pumpIds, () => readMeterReads(db, pumpIds))
}

async function readMeterReads(db: Database, pumpIds: readonly Id<'pump'>[]): Promise<Map<string, MeterRead[]>> {
  const [drawn, exchanged, corrections] = await askTogether(
    db,
    metered(db, pumpIds),
    exchangesAlone(db, pumpIds),
    correctionsOfDraws(db),
  )
  const places = firstPlaces(corrections)
  const draws = drawn.map(({ startUnread, oldLastM3, ...row }) => ({
    ...row,
    isDraw: true,
    replaced: oldLastM3 !== null,
    startUnread: startUnread === 1,
  }))
  const alone = { isDraw: false, replaced: true, startUnread: false }
  const hung = exchanged.map((row) => ({ ...row, ...alone }))
  const reads = [...draws, ...hung]
    .map((row) => ({ ...row, place: places.get(row.id) ?? row.seq }))
    .sort((a, b) => a.happenedAt.localeCompare(b.happenedAt) || a.place - b.place)
  const byPump = group(reads, ({ pumpId }) => pumpId!)
  return new Map(pumpIds.map((pumpId) => [pumpId, (byPump.get(pumpId) ?? []).map(plainRead)]))
}

/** Draws of some pumps that were measured by the meter. */
function metered(db: Database, pumpIds: readonly Id<'pump'>[]) {
  return db
    .selectFrom('abstraction')
    .innerJoin('entry', 'entry.id', 'abstraction.entryId')
    .leftJoin('drawNote', 'drawNote.entryId', 'abstraction.entryId')
    .leftJoin('drawTool', 'drawTool.entryId', 'abstraction.entryId')
    .select(['entry.id', 'onDate', 'openingM3', 'closingM3', 'happenedAt', 'seq', 'startUnread', 'oldLastM3'])
    .select('pumpId')
    .where('pumpId', 'in', pumpIds)
    .where('method', '=', 'meter')
    .where(standing('abstraction'))
}

function plainRead({
  seq: _,
  place: __,
  pumpId: ___,
  ...read
}: Omit<MeterRead, 'openingM3' | 'closingM3'> & {
  openingM3: M3 | null
  closingM3: M3 | null
  seq: number
  place: number
  pumpId: string | null
}): MeterRead {
  return { ...read, openingM3: read.openingM3!, closingM3: read.closingM3! }
}

/**
 * A meter that was replaced between two draws: the old one's last reading should join the draw before it, and the next draw
 * begins with the new one's first.
 */
function exchangesAlone(db: Database, pumpIds: readonly Id<'pump'>[]) {
  return db
    .selectFrom('pumpMeter')
    .innerJoin('entry', 'entry.id', 'pumpMeter.entryId')
    .select(['entry.id', 'onDate', 'oldLastM3 as openingM3', 'newFirstM3 as closingM3', 'pumpId'])
    .select(['happenedAt', 'seq'])
    .where('entry.kind', '=', 'pump-meter')
    .where('pumpId', 'in', pumpIds)
    .where(standing('pumpMeter'))
}

interface Neighbours {
  /** Undefined at the ends of the book. */
  before?: MeterRead | undefined
  own?: MeterRead
  after?: MeterRead | undefined
}

/** An entry among the readings of the same meter; nothing where it is none of them. */
export function neighboursOf(reads: readonly MeterRead[], id: string): Neighbours {
  const at = reads.findIndex((read) => read.id === id)
  return at < 0 ? {} : { before: reads[at - 1], own: reads[at]!, after: reads[at + 1] }
}

/** The last reading of a pump's meter in the book; undefined while there is none. */
export async function lastClosing(db: Database, pumpId: Id<'pump'>): Promise<MeterRead | undefined> {
  return (await meterReads(db, pumpId)).at(-1)
}

/** The closing that stands before a moment; undefined where there is none. */
export async function closingBefore(db: Database, pumpId: Id<'pump'>, at: Instant): Promise<MeterRead | undefined> {
  return (await meterReads(db, pumpId)).findLast((read) => read.happenedAt < at)
}
