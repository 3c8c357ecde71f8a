import { addDays, type CalendarDate, datesFromTo } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { countOf, missingRanges, type NumberRange, rangesOf } from '../../../domain/number-ranges.ts'
import type { M3 } from '../../../domain/units.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { turnsOn } from '../../rotation/published/listed-store.ts'
import type { Values } from '../../web/figures/locale.ts'
import { rangeText } from '../../web/figures/number-ranges.ts'
import { unnamedTests } from '../../works/flow-test/unnamed-store.ts'
import { openExchanges } from '../../works/meter/store.ts'
import { pumpReadings } from '../../works/tank/store.ts'
import { moreOf } from '../draw/more-store.ts'
import { listAbstractions } from '../draw/store.ts'
import { loggedOfTurns } from '../log/store.ts'
import { openFlags } from '../plausibility/store.ts'

/** Something that was open when a day or a week was closed; it is named, never hidden. */
export interface Gap {
  code: 'no-dawn' | 'no-dusk' | 'turns-not-logged' | 'slips-missing' | 'slips-outside' | 'points-open'
  values: Values
}

interface Closed {
  pumpId: Id<'pump'>
  fromOn: CalendarDate
  toOn: CalendarDate
  firstSlipNo: number | null
  lastSlipNo: number | null
  /** What the meter showed at the closing itself, on the last evening. */
  meterM3: M3 | null
  timeZone: string
}

/** What is missing in the days that are being closed. */
export async function gapsOf(db: Database, closed: Closed): Promise<Gap[]> {
  const { pumpId, fromOn, toOn, meterM3, timeZone } = closed
  const readings = (await pumpReadings(db, { fromOn, toOn: addDays(toOn, 1) })).filter((one) => one.pumpId === pumpId)
  const draws = (await listAbstractions(db, { fromOn, toOn })).filter((draw) => draw.pumpId === pumpId)
  const gaps: Gap[] = []
  for (const on of datesFromTo(fromOn, toOn)) {
    const has = (day: string, moment: string) => readings.some((one) => one.on === day && one.moment === moment)
    if (!has(on, 'dawn')) gaps.push({ code: 'no-dawn', values: { on } })
    // As in the balance, a day also ends with the next dawn's reading; the last one with what the closing itself read.
    const isEnded = has(on, 'dusk') || has(addDays(on, 1), 'dawn') || (on === toOn && meterM3 !== null)
    if (!isEnded) gaps.push({ code: 'no-dusk', values: { on } })
    const turns = (await turnsOn(db, on)).filter((turn) => turn.pumpId === pumpId)
    const logged = await loggedOfTurns(
      db,
      turns.map((turn) => turn.id),
    )
    const count = turns.filter(({ id }) => !logged.some(({ turnId }) => turnId === id)).length
    if (count > 0) gaps.push({ code: 'turns-not-logged', values: { on, count } })
  }
  const flags = await openFlags(db, { draws, timeZone })
  const days = [...(await openExchanges(db)), ...(await unnamedTests(db))]
    .filter((one) => one.pumpId === pumpId)
    .map((one) => ('onDate' in one ? one.onDate : one.testedOn))
  const unnamed = days.filter((on) => on >= fromOn && on <= toOn)
  const count = [...flags.values()].flat().length + unnamed.length
  if (count > 0) gaps.push({ code: 'points-open', values: { count } })
  return [...gaps, ...(await slipGaps(db, closed, new Set(draws.map(({ id }) => id))))]
}

/** Slip numbers between the first and the last that no line carries, and those that lie outside. */
async function slipGaps(db: Database, { firstSlipNo, lastSlipNo }: Closed, ids: ReadonlySet<string>): Promise<Gap[]> {
  if (firstSlipNo === null || lastSlipNo === null) return []
  const more = await moreOf(db, [...ids])
  const numbers = [...more.values()].flatMap(({ slipNo }) => slipNo ?? [])
  const missing = missingRanges(numbers, { from: firstSlipNo, to: lastSlipNo })
  const outside = rangesOf(numbers.filter((number) => number < firstSlipNo || number > lastSlipNo))
  const named = (code: Gap['code'], ranges: NumberRange[]): Gap[] =>
    ranges.length ? [{ code, values: valuesOf(ranges) }] : []
  return [...named('slips-missing', missing), ...named('slips-outside', outside)]
}

/** How many slips, and the stretches in which they lie. */
function valuesOf(ranges: readonly NumberRange[]): { count: number; numbers: string } {
  return { count: countOf(ranges), numbers: ranges.map(rangeText).join(', ') }
}

interface LogClosing {
  id: string
  span: string
  pumpId: Id<'pump'>
  pumpNumber: number
  fromOn: CalendarDate
  toOn: CalendarDate
  meterM3: M3 | null
  hourMeterH: number | null
  firstSlipNo: number | null
  lastSlipNo: number | null
  cashMinor: number | null
  cashToName: string | null
  words: string | null
  found: Gap[]
  writerId: Id<'person'>
  writerName: string
}

export function closingRows(db: Database) {
  return db
    .selectFrom('logClosing as closing')
    .innerJoin('entry', 'entry.id', 'closing.entryId')
    .innerJoin('pump', 'pump.entryId', 'closing.pumpId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .leftJoin('person as taker', 'taker.entryId', 'closing.cashToId')
    .select(['closing.entryId as id', 'closing.span', 'closing.pumpId', 'pump.number as pumpNumber', 'closing.fromOn'])
    .select(['closing.toOn', 'closing.meterM3', 'closing.hourMeterH'])
    .select(['closing.firstSlipNo', 'closing.lastSlipNo'])
    .select(['closing.cashMinor', 'taker.name as cashToName', 'closing.words', 'closing.found'])
    .select(['writer.entryId as writerId', 'writer.name as writerName'])
    .where(({ not, exists, selectFrom }) =>
      not(exists(selectFrom('entry as later').select('later.id').whereRef('later.correctsId', '=', 'closing.entryId'))),
    )
    .orderBy('closing.toOn', 'desc')
    .orderBy(asWritten, 'desc')
}

export async function listClosings(db: Database): Promise<LogClosing[]> {
  const rows = await closingRows(db).execute()
  return rows.map((row) => ({ ...row, found: JSON.parse(row.found) as Gap[] }))
}

interface SlipBook {
  id: string
  pumpNumber: number
  fromOn: CalendarDate
  firstNo: number
  lastNo: number
  used: number
  /** Numbers below the highest used one that no standing line carries; null for none. */
  missing: { count: number; numbers: string } | null
}

/** The numbered slip books, each with what is used and what is missing among it. */
export async function slipBooks(db: Database): Promise<SlipBook[]> {
  const books = await db
    .selectFrom('slipBook')
    .innerJoin('pump', 'pump.entryId', 'slipBook.pumpId')
    .select(['slipBook.entryId as id', 'pump.number as pumpNumber', 'fromOn'])
    .select(['firstNo', 'lastNo'])
    .where(standing('slipBook'))
    .orderBy('firstNo')
    .execute()
  const rows = await db
    .selectFrom('drawNote')
    .innerJoin('abstraction', 'abstraction.entryId', 'drawNote.entryId')
    .select('slipNo')
    .where('slipNo', 'is not', null)
    .where(standing('abstraction'))
    .execute()
  const back = await db
    .selectFrom('drawSlip')
    .innerJoin('abstraction', 'abstraction.entryId', 'drawSlip.subjectId')
    .select('slipNo')
    .where(standing('abstraction'))
    .execute()
  const used = new Set([...rows, ...back].map((row) => row.slipNo!))
  return books.map((book) => {
    const own = [...used].filter((number) => number >= book.firstNo && number <= book.lastNo)
    const missing = missingRanges(own, { from: book.firstNo })
    return { ...book, used: own.length, missing: missing.length ? valuesOf(missing) : null }
  })
}
