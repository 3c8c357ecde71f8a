import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** A rain gauge beside that of the weather book. */
export interface RainGauge {
  id: string
  number: number
  name: string
}

export async function listGauges(db: Database): Promise<RainGauge[]> {
  return db
    .selectFrom('rain_gauge')
    .select(['entry_id as id', 'number', 'name'])
    .where(standing('rain_gauge'))
    .orderBy('number')
    .execute()
}

export async function addGauge(pen: Pen, gauge: { number: number; name: string }): Promise<string> {
  return appendEntry(pen, { kind: 'rain-gauge' }, { rain_gauge: [gauge] })
}

export interface GaugeRain {
  gaugeId: string
  onDate: string
  rainMm: number
}

export async function gaugeRain(db: Database, span: { fromOn: string; toOn: string }): Promise<GaugeRain[]> {
  const rows = await db
    .selectFrom('gauge_rain')
    .selectAll()
    .where('on_date', '>=', span.fromOn)
    .where('on_date', '<=', span.toOn)
    .where(standing('gauge_rain'))
    .orderBy('on_date')
    .execute()
  return rows.map((row) => ({ gaugeId: row.gauge_id, onDate: row.on_date, rainMm: row.rain_mm }))
}

/** Writes the rain of a day at a gauge; a day that stands is corrected by it, for which the reason is needed. */
export async function addGaugeRain(
  pen: Pen,
  { gaugeId, onDate, rainMm }: GaugeRain,
  { reason }: { reason?: string | undefined } = {},
): Promise<string> {
  const earlier = await pen.trx
    .selectFrom('gauge_rain')
    .select('entry_id')
    .where('gauge_id', '=', gaugeId)
    .where('on_date', '=', onDate)
    .where(standing('gauge_rain'))
    .executeTakeFirst()
  const correction = earlier ? { correctsId: earlier.entry_id, reason } : {}
  const row = { gauge_id: gaugeId, on_date: onDate, rain_mm: rainMm }
  return appendEntry(pen, { kind: 'gauge-rain', ...correction }, { gauge_rain: [row] })
}
