import type { PumpMount, Sky } from '../../domain/rotation/pump-day.ts'
import type { PumpLogDay } from '../../domain/rotation/pump-day-log.ts'
import type { Database } from '../database/connection.ts'
import { appendEntry, type Pen } from '../database/entries.ts'
import { standing } from '../database/standing.ts'

export interface MountRow {
  pumpId: string
  from_on: string
  seq: number
  mount: PumpMount
}

/** How the panels of each pump stand, from which day on. */
export async function pumpMounts(db: Database): Promise<MountRow[]> {
  const rows = await db
    .selectFrom('pump_mount')
    .innerJoin('entry', 'entry.id', 'pump_mount.entry_id')
    .select(['pump_id as pumpId', 'from_on', 'seq', 'mount'])
    .where(standing('pump_mount'))
    .orderBy('from_on')
    .orderBy('seq')
    .execute()
  return rows.map((row) => ({ ...row, mount: row.mount as PumpMount }))
}

export async function setPumpMount(
  pen: Pen,
  { pumpId, fromOn, mount }: { pumpId: string; fromOn: string; mount: PumpMount },
): Promise<string> {
  return appendEntry(pen, { kind: 'pump-mount' }, { pump_mount: [{ pump_id: pumpId, from_on: fromOn, mount }] })
}

/** The sky over a pump on a day that is over; written again, the later word counts. */
export async function addPumpDaySky(
  pen: Pen,
  day: { pumpId: string; onDate: string; sky: Sky; wholeDay: boolean },
): Promise<string> {
  const row = { pump_id: day.pumpId, on_date: day.onDate, sky: day.sky, whole_day: day.wholeDay ? 1 : 0 }
  return appendEntry(pen, { kind: 'pump-day-sky' }, { pump_day_sky: [row] })
}

/** A pump's days with a sky word and what was drawn from it on each, first to last. */
export async function pumpLogDays(db: Database, pumpId: string): Promise<PumpLogDay[]> {
  const words = await db
    .selectFrom('pump_day_sky')
    .innerJoin('entry', 'entry.id', 'pump_day_sky.entry_id')
    .select(['on_date', 'sky', 'whole_day'])
    .where('pump_id', '=', pumpId)
    .where(standing('pump_day_sky'))
    .orderBy('on_date')
    .orderBy('seq')
    .execute()
  const drawn = await db
    .selectFrom('abstraction')
    .select(({ fn }) => ['on_date', fn.sum<number>('volume_m3').as('volumeM3')])
    .where('pump_id', '=', pumpId)
    .where(standing('abstraction'))
    .groupBy('on_date')
    .execute()
  const volumes = new Map(drawn.map((row) => [row.on_date, row.volumeM3]))
  const last = new Map(words.map((row) => [row.on_date, row]))
  return [...last.values()].map((row) => ({
    on: row.on_date,
    volumeM3: volumes.get(row.on_date) ?? 0,
    sky: row.sky as Sky,
    wholeDay: row.whole_day === 1,
  }))
}
