import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** A rain gauge beside that of the weather book. */
export interface RainGauge {
  id: string
  number: number
  name: string
}

const gaugeRows = readTogether('crops', (db) =>
  db.selectFrom('rainGauge').select(['entryId as id', 'number', 'name']).where(standing('rainGauge')).orderBy('number'),
)

export async function listGauges(db: Database): Promise<RainGauge[]> {
  return gaugeRows(db)
}

export async function addGauge(pen: Pen, gauge: { number: number; name: string }): Promise<string> {
  return appendEntry(pen, { kind: 'rain-gauge' }, { rainGauge: [gauge] })
}

export interface GaugeRain {
  gaugeId: Id<'gauge'>
  onDate: string
  rainMm: number
}

export async function gaugeRain(
  db: Database,
  span: { fromOn: CalendarDate; toOn: CalendarDate },
): Promise<GaugeRain[]> {
  const rows = await db
    .selectFrom('gaugeRain')
    .selectAll()
    .where('onDate', '>=', span.fromOn)
    .where('onDate', '<=', span.toOn)
    .where(standing('gaugeRain'))
    .orderBy('onDate')
    .execute()
  return rows.map((row) => ({ gaugeId: row.gaugeId, onDate: row.onDate, rainMm: row.rainMm }))
}

/** Writes the rain of a day at a gauge; a day that stands is corrected by it, for which the reason is needed. */
export async function addGaugeRain(
  pen: Pen,
  { gaugeId, onDate, rainMm }: GaugeRain,
  { reason }: { reason?: string | undefined } = {},
): Promise<string> {
  const earlier = await pen.trx
    .selectFrom('gaugeRain')
    .select('entryId')
    .where('gaugeId', '=', gaugeId)
    .where('onDate', '=', onDate)
    .where(standing('gaugeRain'))
    .executeTakeFirst()
  const correction = earlier ? { correctsId: earlier.entryId, reason } : {}
  const row = { gaugeId, onDate, rainMm }
  return appendEntry(pen, { kind: 'gauge-rain', ...correction }, { gaugeRain: [row] })
}
