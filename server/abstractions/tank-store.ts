import type { DawnOrDusk } from '../../domain/abstractions/index.ts'
import type { Database } from '../database/connection.ts'
import { standing } from '../database/standing.ts'

export interface Tank {
  id: string
  number: number
  name: string
  pumpId: string
  areaM2: number
  heightM: number
}

export async function listTanks(db: Database): Promise<Tank[]> {
  return db
    .selectFrom('tank')
    .select(['entry_id as id', 'number', 'name', 'pump_id as pumpId', 'area_m2 as areaM2', 'height_m as heightM'])
    .where(standing('tank'))
    .orderBy('number')
    .execute()
}

interface Span {
  fromOn: string
  toOn: string
}

/** Levels of every tank at dawn and dusk; of two readings of the same moment the later written counts. */
export async function tankReadings(db: Database, { fromOn, toOn }: Span): Promise<(DawnOrDusk & { tankId: string })[]> {
  const rows = await db
    .selectFrom('tank_reading')
    .innerJoin('entry', 'entry.id', 'tank_reading.entry_id')
    .select(['tank_id as tankId', 'on_date as on', 'moment', 'level_m as reading'])
    .where(standing('tank_reading'))
    .where('on_date', '>=', fromOn)
    .where('on_date', '<=', toOn)
    .orderBy('entry.seq')
    .execute()
  return rows.map((row) => ({ ...row, moment: row.moment as DawnOrDusk['moment'] }))
}

export interface PumpReading extends DawnOrDusk {
  pumpId: string
  hourMeterH: number | null
  atTime: string
}

/** Meters of every pump at dawn and dusk, in the order of writing. */
export async function pumpReadings(db: Database, { fromOn, toOn }: Span): Promise<PumpReading[]> {
  const rows = await db
    .selectFrom('pump_day_reading')
    .innerJoin('entry', 'entry.id', 'pump_day_reading.entry_id')
    .select(['pump_id as pumpId', 'on_date as on', 'moment', 'meter_m3 as reading', 'hour_meter_h as hourMeterH'])
    .select('at_time as atTime')
    .where(standing('pump_day_reading'))
    .where('on_date', '>=', fromOn)
    .where('on_date', '<=', toOn)
    .orderBy('entry.seq')
    .execute()
  return rows.map((row) => ({ ...row, moment: row.moment as DawnOrDusk['moment'] }))
}
