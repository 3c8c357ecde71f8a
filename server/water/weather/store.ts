import type { Selectable } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Psychrometer } from '../../../domain/water/weather/humidity.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'

/** What was read on one day; null where nobody read it. */
export interface WeatherReading {
  onDate: string
  tmaxC: number | null
  tminC: number | null
  rainMm: number | null
  rhMaxPct: number | null
  rhMinPct: number | null
  windMPerS: number | null
  /** Height of the wind meter above ground; null where it was not told. */
  windHeightM: number | null
  /** Two bulbs read together, and how the air came to the wet one. */
  dryBulbC: number | null
  wetBulbC: number | null
  psychrometer: Psychrometer | null
  dewPointC: number | null
  vapourPressureKpa: number | null
  sunHours: number | null
  radiationMjM2: number | null
}

export interface WeatherDay extends WeatherReading {
  id: string
}

/** A day with only the figures that were read; the rest stay empty. */
export type NewWeatherDay = Pick<WeatherReading, 'onDate'> & Partial<WeatherReading>

/** Writes one day. A day that already stands is corrected by it, for which the reason is needed; the earlier stays in the book. */
export async function addWeatherDay(
  pen: Pen,
  day: NewWeatherDay,
  { reason }: { reason?: string | undefined } = {},
): Promise<string> {
  const earlier = await pen.trx
    .selectFrom('weatherDay')
    .select('entryId')
    .where('onDate', '=', day.onDate)
    .where(standing('weatherDay'))
    .executeTakeFirst()
  const correctsId = earlier?.entryId ?? null
  const air = airOf(day)
  const facts = { weatherDay: [rowOf(day)], ...(air ? { airReading: [air] } : {}) }
  return appendEntry(pen, { kind: 'weather-day', correctsId, reason: reason ?? null }, facts)
}

/** The standing figures of each day that has any, in the order of the calendar. */
export async function weatherDays(
  db: Database,
  { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate },
): Promise<WeatherDay[]> {
  const rows = await weatherRows(db, { fromOn, toOn }).execute()
  return rows.map(dayOf)
}

export function weatherRows(db: Database, { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate }) {
  return db
    .selectFrom('weatherDay')
    .leftJoin('airReading', 'airReading.entryId', 'weatherDay.entryId')
    .select(AIR)
    .selectAll('weatherDay')
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
    .where(standing('weatherDay'))
    .orderBy('onDate')
}

/** The last of the days from one on that somebody wrote in; undefined where none was. */
export async function lastWeatherBy(
  db: Database,
  { personId, fromOn }: { personId: Id<'person'>; fromOn: CalendarDate },
): Promise<CalendarDate | undefined> {
  const row = await db
    .selectFrom('weatherDay')
    .innerJoin('entry', 'entry.id', 'weatherDay.entryId')
    .select('weatherDay.onDate')
    .where('entry.writtenBy', '=', personId)
    .where('weatherDay.onDate', '>=', fromOn)
    .where(standing('weatherDay'))
    .orderBy('weatherDay.onDate', 'desc')
    .limit(1)
    .executeTakeFirst()
  return row?.onDate
}

/** Everything ever written for a day, last written first, with who wrote it and why. */
export async function weatherDayHistory(db: Database, onDate: string) {
  const rows = await db
    .selectFrom('weatherDay')
    .innerJoin('entry', 'entry.id', 'weatherDay.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .leftJoin('airReading', 'airReading.entryId', 'weatherDay.entryId')
    .select(AIR)
    .selectAll('weatherDay')
    .select(['entry.writtenAt', 'entry.reason', 'person.name'])
    .where('onDate', '=', onDate)
    .orderBy(asWritten, 'desc')
    .execute()
  return rows.map((row) => ({ ...dayOf(row), writtenAt: row.writtenAt, reason: row.reason, writtenBy: row.name }))
}

/** First and last day in the weather book; null while it is empty. */
export async function weatherSpan(db: Database): Promise<{ firstOn: CalendarDate; lastOn: CalendarDate } | null> {
  const row = await db
    .selectFrom('weatherDay')
    .select((eb) => [eb.fn.min<string | null>('onDate').as('first'), eb.fn.max<string | null>('onDate').as('last')])
    .where(standing('weatherDay'))
    .executeTakeFirst()
  return row?.first && row.last ? { firstOn: row.first, lastOn: row.last } : null
}

const AIR = [
  'airReading.dryBulbC',
  'airReading.wetBulbC',
  'airReading.psychrometer',
  'airReading.dewPointC',
  'airReading.vapourPressureKpa',
] as const

type Air = Omit<FactTables['airReading'], 'entryId'>

function dayOf(row: Selectable<FactTables['weatherDay']> & Air): WeatherDay {
  return {
    id: row.entryId,
    onDate: row.onDate,
    tmaxC: row.tmaxC,
    tminC: row.tminC,
    rainMm: row.rainMm,
    rhMaxPct: row.rhMaxPct,
    rhMinPct: row.rhMinPct,
    windMPerS: row.windMPerS,
    windHeightM: row.windHeightM,
    dryBulbC: row.dryBulbC,
    wetBulbC: row.wetBulbC,
    psychrometer: row.psychrometer as Psychrometer | null,
    dewPointC: row.dewPointC,
    vapourPressureKpa: row.vapourPressureKpa,
    sunHours: row.sunHours,
    radiationMjM2: row.radiationMjM2,
  }
}

function rowOf(day: NewWeatherDay) {
  return {
    onDate: day.onDate,
    tmaxC: day.tmaxC ?? null,
    tminC: day.tminC ?? null,
    rainMm: day.rainMm ?? null,
    rhMaxPct: day.rhMaxPct ?? null,
    rhMinPct: day.rhMinPct ?? null,
    windMPerS: day.windMPerS ?? null,
    windHeightM: day.windHeightM ?? null,
    sunHours: day.sunHours ?? null,
    radiationMjM2: day.radiationMjM2 ?? null,
  }
}

/** How moist the air was, where anybody read it. */
function airOf({ dryBulbC, wetBulbC, psychrometer, dewPointC, vapourPressureKpa }: NewWeatherDay): Air | null {
  const read = [dryBulbC, wetBulbC, dewPointC, vapourPressureKpa]
  if (read.every((value) => value === null || value === undefined)) return null
  return {
    dryBulbC: dryBulbC ?? null,
    wetBulbC: wetBulbC ?? null,
    psychrometer: psychrometer ?? null,
    dewPointC: dewPointC ?? null,
    vapourPressureKpa: vapourPressureKpa ?? null,
  }
}
