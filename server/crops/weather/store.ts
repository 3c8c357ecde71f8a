import type { Selectable } from 'kysely'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
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
    .selectFrom('weather_day')
    .select('entry_id')
    .where('on_date', '=', day.onDate)
    .where(standing('weather_day'))
    .executeTakeFirst()
  const correction = earlier ? { correctsId: earlier.entry_id, reason } : {}
  return appendEntry(pen, { kind: 'weather-day', ...correction }, { weather_day: [rowOf(day)] })
}

/** The standing figures of each day that has any, in the order of the calendar. */
export async function weatherDays(
  db: Database,
  { fromOn, toOn }: { fromOn: string; toOn: string },
): Promise<WeatherDay[]> {
  const rows = await db
    .selectFrom('weather_day')
    .selectAll()
    .where('on_date', '>=', fromOn)
    .where('on_date', '<=', toOn)
    .where(standing('weather_day'))
    .orderBy('on_date')
    .execute()
  return rows.map(dayOf)
}

/** Everything ever written for a day, last written first, with who wrote it and why. */
export async function weatherDayHistory(db: Database, onDate: string) {
  const rows = await db
    .selectFrom('weather_day')
    .innerJoin('entry', 'entry.id', 'weather_day.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .selectAll('weather_day')
    .select(['entry.written_at', 'entry.reason', 'person.name'])
    .where('on_date', '=', onDate)
    .orderBy('entry.seq', 'desc')
    .execute()
  return rows.map((row) => ({ ...dayOf(row), writtenAt: row.written_at, reason: row.reason, writtenBy: row.name }))
}

/** First and last day in the weather book; null while it is empty. */
export async function weatherSpan(db: Database): Promise<{ firstOn: string; lastOn: string } | null> {
  const row = await db
    .selectFrom('weather_day')
    .select((eb) => [eb.fn.min<string | null>('on_date').as('first'), eb.fn.max<string | null>('on_date').as('last')])
    .where(standing('weather_day'))
    .executeTakeFirst()
  return row?.first && row.last ? { firstOn: row.first, lastOn: row.last } : null
}

function dayOf(row: Selectable<FactTables['weather_day']>): WeatherDay {
  return {
    id: row.entry_id,
    onDate: row.on_date,
    tmaxC: row.tmax_c,
    tminC: row.tmin_c,
    rainMm: row.rain_mm,
    rhMaxPct: row.rh_max_pct,
    rhMinPct: row.rh_min_pct,
    windMPerS: row.wind_m_per_s,
    windHeightM: row.wind_height_m,
    sunHours: row.sun_hours,
    radiationMjM2: row.radiation_mj_m2,
  }
}

function rowOf(day: NewWeatherDay) {
  return {
    on_date: day.onDate,
    tmax_c: day.tmaxC ?? null,
    tmin_c: day.tminC ?? null,
    rain_mm: day.rainMm ?? null,
    rh_max_pct: day.rhMaxPct ?? null,
    rh_min_pct: day.rhMinPct ?? null,
    wind_m_per_s: day.windMPerS ?? null,
    wind_height_m: day.windHeightM ?? null,
    sun_hours: day.sunHours ?? null,
    radiation_mj_m2: day.radiationMjM2 ?? null,
  }
}
