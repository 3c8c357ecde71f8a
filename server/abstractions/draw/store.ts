import { group } from 'd3-array'
import { turnHours } from '../../../domain/abstractions/plausibility/logged-turn.ts'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { exactM3, type M3 } from '../../../domain/units.ts'
import { type WeekRhythm, weekStartOf } from '../../../domain/weeks.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { localInstant } from '../../web/pages/visit.ts'
import { type DrawMore, moreRows } from './more-store.ts'
import { abstractionRows } from './rows.ts'
import type { Measure, Use } from './types.ts'

/** What was drawn: when, for what, from where, how it was measured, and how far off that may be. */
export interface NewAbstraction {
  onDate: CalendarDate
  use: Use
  weirId: Id<'weir'>
  /** Null when the water was drawn from the weir by hand. */
  pumpId: Id<'pump'> | null
  outletId: Id<'outlet'> | null
  plotId: Id<'plot'> | null
  turnId: Id<'turn'> | null
  /** Who took it: the holder or a stand-in. */
  takerId: Id<'person'> | null
  method: Measure
  openingM3: M3 | null
  closingM3: M3 | null
  hours: number | null
  flowM3PerH: number | null
  /** Clock times `HH:MM` of the group's zone, where they were written. */
  startTime: string | null
  endTime: string | null
  volumeM3: M3
  uncertaintyM3: M3
  grade: 'measured' | 'estimated'
  remark: string | null
  more?: DrawMore
}

export interface Abstraction extends NewAbstraction {
  id: Id<'abstraction'>
  happenedAt: Instant
  writtenAt: Instant
  writerName: string
  correctsId: string | null
  reason: string | null
  weirNumber: number
  weirName: string
  pumpNumber: number | null
  outletNumber: number | null
  outletName: string | null
  plotNumber: number | null
  plotName: string | null
  takerNumber: number | null
  takerName: string | null
}

export interface AbstractionHead {
  correctsId?: string | null
  reason?: string | null
  happenedAt?: Instant
  /** The person for whom the writer wrote it down. */
  forPersonId?: Id<'person'> | null
}

/** What a draw leaves open when only its volume is told: no pump, no turn, no readings and no clock. */
export const TOLD_AS_VOLUME = {
  pumpId: null,
  outletId: null,
  plotId: null,
  turnId: null,
  takerId: null,
  method: 'volume',
  openingM3: null,
  closingM3: null,
  hours: null,
  flowM3PerH: null,
  startTime: null,
  endTime: null,
  remark: null,
} as const satisfies Partial<NewAbstraction>

/** Writes one draw; with `correctsId` and a reason it takes the place of an earlier one, which stays in the book. */
export async function addAbstraction(pen: Pen, drawn: NewAbstraction, head: AbstractionHead = {}): Promise<string> {
  const row = {
    onDate: drawn.onDate,
    use: drawn.use,
    weirId: drawn.weirId,
    pumpId: drawn.pumpId,
    outletId: drawn.outletId,
    plotId: drawn.plotId,
    turnId: drawn.turnId,
    takerId: drawn.takerId,
    method: drawn.method,
    openingM3: drawn.openingM3,
    closingM3: drawn.closingM3,
    hours: drawn.hours,
    flowM3PerH: drawn.flowM3PerH,
    startTime: drawn.startTime,
    endTime: drawn.endTime,
    volumeM3: drawn.volumeM3,
    uncertaintyM3: drawn.uncertaintyM3,
    grade: drawn.grade,
    remark: drawn.remark,
  }
  return appendEntry(
    pen,
    { kind: 'abstraction', ...head },
    { abstraction: [row], ...moreRows(drawn.more), ...newMeter(drawn) },
  )
}

/** A meter that was replaced during a draw and does not count to as many digits. */
function newMeter({ pumpId, onDate, endTime, startTime, more }: NewAbstraction): Facts {
  const tool = more?.tool
  if (!pumpId || tool?.newDigits == null) return {}
  const readings = { oldLastM3: tool.oldLastM3!, newFirstM3: tool.newFirstM3!, serial: tool.newSerial }
  const when = { onDate, atTime: endTime ?? startTime ?? '12:00' }
  return { pumpMeter: [{ pumpId, digits: tool.newDigits, ...when, ...readings }] }
}

/** Strikes out a draw that never was: a correction without a fact of its own. */
export async function strikeAbstraction(pen: Pen, struck: { correctsId: string; reason: string }): Promise<string> {
  return appendEntry(pen, { kind: 'abstraction', ...struck }, {})
}

interface Span {
  fromOn: CalendarDate
  toOn: CalendarDate
  plotId?: Id<'plot'>
}

/** The draws that stand, both days included, by day and then by the hour at which they happened. */
export async function listAbstractions(db: Database, span: Span): Promise<Abstraction[]> {
  return drawsOfDays(db, span).execute()
}

export function drawsOfDays(db: Database, { fromOn, toOn, plotId }: Span) {
  let rows = abstractionRows(db)
    .where(standing('abstraction'))
    .where('abstraction.onDate', '>=', fromOn)
    .where('abstraction.onDate', '<=', toOn)
  if (plotId !== undefined) rows = rows.where('abstraction.plotId', '=', plotId)
  return rows.orderBy('abstraction.onDate').orderBy('entry.happenedAt').orderBy(asWritten)
}

/** Every draw of a plot that was ever written, also those that a correction has replaced since. */
export async function drawsEverWritten(db: Database, { fromOn, toOn, plotId }: Required<Span>): Promise<Abstraction[]> {
  return abstractionRows(db)
    .where('abstraction.plotId', '=', plotId)
    .where('abstraction.onDate', '>=', fromOn)
    .where('abstraction.onDate', '<=', toOn)
    .orderBy('abstraction.onDate')
    .orderBy(asWritten)
    .execute()
}

/** One draw as it was written, whether it still stands or not. */
export async function findAbstraction(db: Database, id: string): Promise<Abstraction | undefined> {
  return abstractionRows(db).where('abstraction.entryId', '=', id).executeTakeFirst()
}

/** Several as they were written, whether they still stand or not, by their ids. */
export async function findAbstractions(db: Database, ids: readonly string[]): Promise<Map<string, Abstraction>> {
  const found = new Map<string, Abstraction>()
  for (let at = 0; at < ids.length; at += MOST_AT_ONCE) {
    const some = ids.slice(at, at + MOST_AT_ONCE)
    for (const draw of await abstractionRows(db).where('abstraction.entryId', 'in', some).execute()) {
      found.set(draw.id, draw)
    }
  }
  return found
}

/** SQL takes only so many values in one question. */
const MOST_AT_ONCE = 5000

/** Irrigation water that each plot received in a span of days. */
export async function deliveredByPlot(db: Database, span: Span): Promise<Map<string, number>> {
  return sumByPlot(await deliveries(db, span))
}

/** The same, week by week; a week is named by its first day. */
export async function deliveredByPlotAndWeek(
  db: Database,
  { rhythm, ...span }: Span & { rhythm: WeekRhythm },
): Promise<Map<CalendarDate, Map<string, number>>> {
  const weeks = group(await deliveries(db, span), ({ onDate }) => weekStartOf(onDate, rhythm))
  return new Map([...weeks].map(([weekStartOn, ofWeek]) => [weekStartOn, sumByPlot(ofWeek)]))
}

/** The first day on which the log holds irrigation water of a plot; null where it holds none. */
export async function firstWaterOn(db: Database, plotId: Id<'plot'>): Promise<CalendarDate | null> {
  const found = await db
    .selectFrom('abstraction')
    .select((eb) => eb.fn.min<CalendarDate | null>('onDate').as('first'))
    .where(standing('abstraction'))
    .where('use', '=', 'irrigation')
    .where('plotId', '=', plotId)
    .executeTakeFirst()
  return found?.first ?? null
}

interface Delivery {
  onDate: CalendarDate
  plotId: Id<'plot'>
  volumeM3: M3
}

async function deliveries(db: Database, { fromOn, toOn, plotId }: Span): Promise<Delivery[]> {
  let rows = db
    .selectFrom('abstraction')
    .select(['onDate', 'plotId', 'volumeM3'])
    .where(standing('abstraction'))
    .where('use', '=', 'irrigation')
    .where('plotId', 'is not', null)
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
  if (plotId !== undefined) rows = rows.where('plotId', '=', plotId)
  return (await rows.orderBy('onDate').execute()) as Delivery[]
}

/** Sums in whole litres where the figures are such, so that binary dust never shows in a total. */
function sumByPlot(rows: readonly Delivery[]): Map<string, number> {
  const sums = new Map<string, number>()
  for (const { plotId, volumeM3 } of rows) {
    sums.set(plotId, exactM3((sums.get(plotId) ?? 0) + volumeM3))
  }
  return sums
}

/** Hours between the two clock times; null when one is missing or they run backwards. */
export function clockHours(onDate: string, startTime: string | null, endTime: string | null, timeZone: string) {
  const startAt = startTime && localInstant(onDate, startTime, timeZone)
  const stopAt = endTime && localInstant(onDate, endTime, timeZone)
  return startAt && stopAt ? turnHours({ startAt, stopAt }) : null
}
