import { descending, fsum } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import type { DawnOrDusk } from '../../../domain/works/readings.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface Tank {
  id: Id<'tank'>
  number: number
  name: string
  pumpId: Id<'pump'>
  areaM2: number
  heightM: number
}

const tankRows = readTogether('works', (db) =>
  db
    .selectFrom('tank')
    .select(['entryId as id', 'number', 'name', 'pumpId', 'areaM2', 'heightM'])
    .where(standing('tank'))
    .orderBy('number'),
)

export function listTanks(db: Database): Promise<readonly Tank[]> {
  return kept(db, 'tanks', null, () => tankRows(db))
}

interface Span {
  fromOn: CalendarDate
  toOn: CalendarDate
}

/** Levels of every tank at dawn and dusk; of two readings of the same moment the later written counts. */
export async function tankReadings(
  db: Database,
  { fromOn, toOn }: Span,
): Promise<(DawnOrDusk & { tankId: Id<'tank'> })[]> {
  return (await timedTankReadings(db, { fromOn, toOn })).map(({ atTime: _, ...reading }) => reading)
}

export async function timedTankReadings(
  db: Database,
  span: Span,
): Promise<(DawnOrDusk & { tankId: Id<'tank'>; atTime: string })[]> {
  const rows = await tankReadingRows(db, span).execute()
  return rows.map((row) => ({ ...row, moment: row.moment as DawnOrDusk['moment'] }))
}

export function tankReadingRows(db: Database, { fromOn, toOn }: Span) {
  return db
    .selectFrom('tankReading')
    .innerJoin('entry', 'entry.id', 'tankReading.entryId')
    .select(['tankId', 'onDate as on', 'moment', 'levelM as reading', 'atTime'])
    .where(standing('tankReading'))
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
    .orderBy(asWritten)
}

interface PumpReading extends DawnOrDusk {
  pumpId: Id<'pump'>
  hourMeterH: number | null
  atTime: string
}

/** Meters of every pump at dawn and dusk, in the order of writing. */
export async function pumpReadings(db: Database, { fromOn, toOn }: Span): Promise<PumpReading[]> {
  const rows = await pumpReadingRows(db, { fromOn, toOn }).execute()
  return rows.map((row) => ({ ...row, moment: row.moment as DawnOrDusk['moment'] }))
}

export function pumpReadingRows(db: Database, { fromOn, toOn }: Span) {
  return db
    .selectFrom('pumpDayReading')
    .innerJoin('entry', 'entry.id', 'pumpDayReading.entryId')
    .select(['pumpId', 'onDate as on', 'moment', 'meterM3 as reading', 'hourMeterH'])
    .select('atTime')
    .where(standing('pumpDayReading'))
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
    .orderBy(asWritten)
}

interface TankDay {
  /** The entries that tell of it. */
  ids: string[]
  onDate: string
  tankNumber: number
  tankName: string
  morningM: number | null
  eveningM: number | null
  filledM3: M3 | null
  animals: number | null
  remark: string | null
}

/** The sheet of some days, newest first: a line a tank and day. */
export async function tankDays(db: Database, { fromOn, toOn }: Span): Promise<TankDay[]> {
  const readings = await tankReadings(db, { fromOn, toOn })
  const rows = await db
    .selectFrom('tankDay')
    .select(['entryId as id', 'tankId', 'onDate', 'filledM3', 'animals', 'remark'])
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
    .where(standing('tankDay'))
    .execute()
  const lines = (await listTanks(db)).flatMap(({ id, number, name }) => {
    const own = readings.filter((one) => one.tankId === id)
    const told = rows.filter((one) => one.tankId === id)
    const level = (on: string, moment: string) =>
      own.findLast((one) => one.on === on && one.moment === moment)?.reading ?? null
    return [...new Set([...own.map(({ on }) => on), ...told.map((one) => one.onDate)])].map((onDate) => ({
      onDate,
      tankNumber: number,
      tankName: name,
      morningM: level(onDate, 'dawn'),
      eveningM: level(onDate, 'dusk'),
      ...toldOf(told.filter((one) => one.onDate === onDate)),
    }))
  })
  return lines.toSorted((a, b) => descending(a.onDate, b.onDate) || a.tankNumber - b.tankNumber)
}

interface Told {
  id: string
  filledM3: M3 | null
  animals: number | null
  remark: string | null
}

/** A day may have several lines on the sheet; what they count is added. */
function toldOf(lines: readonly Told[]): Omit<Told, 'id'> & { ids: string[] } {
  const sum = (name: 'filledM3' | 'animals') =>
    lines.some((one) => one[name] !== null) ? fsum(lines, (one) => one[name] ?? 0) : null
  const remarks = lines.flatMap(({ remark }) => remark ?? [])
  return {
    ids: lines.map(({ id }) => id),
    filledM3: sum('filledM3'),
    animals: sum('animals'),
    remark: remarks.length ? remarks.join('; ') : null,
  }
}
