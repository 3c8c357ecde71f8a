import { group } from 'd3-array'
import type { PumpMount, Sky } from '../../../domain/rotation/pump-flow/day.ts'
import { notedSky, type PumpLogDay } from '../../../domain/rotation/pump-flow/log.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listOutlets, type Pump } from '../../works/pump/store.ts'
import { clockMinute } from '../clock.ts'

interface MountRow {
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

type PumpHours = Pick<Pump, 'id' | 'firstHour' | 'lastHour' | 'usualFlowM3PerH'>

/**
 * A pump's days with a sky word and what was drawn from it on each, first to last. What was said of the whole day counts
 * before the notes in the log of its turns.
 */
export async function pumpLogDays(db: Database, pump: PumpHours): Promise<PumpLogDay[]> {
  const pumpId = pump.id
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
  const said = new Map(words.map((row) => [row.on_date, { sky: row.sky as Sky, wholeDay: row.whole_day === 1 }]))
  const days = new Map([...(await notedDays(db, pump)), ...said])
  return [...days]
    .map(([on, day]) => ({ on, volumeM3: volumes.get(on) ?? 0, ...day }))
    .sort((a, b) => (a.on < b.on ? -1 : 1))
}

/** What the log of the turns says of the sky, day by day. */
async function notedDays(db: Database, { id, ...pump }: PumpHours) {
  const rows = await db
    .selectFrom('abstraction')
    .leftJoin('draw_note', 'draw_note.entry_id', 'abstraction.entry_id')
    .select(['on_date', 'outlet_id', 'start_time', 'end_time', 'sky'])
    .where('pump_id', '=', id)
    .where(standing('abstraction'))
    .orderBy('on_date')
    .execute()
  const last = rows.at(-1)?.on_date
  const flows = new Map((last ? await listOutlets(db, last) : []).map((outlet) => [outlet.id, outlet.flowM3PerH]))
  const minute = (clock: string | null) => (clock === null ? null : clockMinute(clock))
  const draws = rows.map((row) => ({
    on: row.on_date,
    sky: row.sky as Sky | null,
    startMinute: minute(row.start_time),
    endMinute: minute(row.end_time),
    outletM3PerH: flows.get(row.outlet_id ?? '') ?? 0,
  }))
  return [...group(draws, (draw) => draw.on)].flatMap(([on, own]) => {
    const noted = notedSky({ draws: own, ...pump })
    return noted ? [[on, noted] as const] : []
  })
}
