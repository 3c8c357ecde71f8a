import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { notedSky, type PumpLogDay } from '../../../domain/rotation/pump-flow/log.ts'
import type { PumpMount, Sky } from '../../../domain/works/pump-day.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { askTogether, readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listOutlets, type Pump } from '../../works/pump/store.ts'
import { clockMinute } from '../clock.ts'

interface MountRow {
  pumpId: Id<'pump'>
  fromOn: CalendarDate
  seq: number
  mount: PumpMount
}

const mountRows = readTogether('turns', (db) =>
  db
    .selectFrom('pumpMount')
    .innerJoin('entry', 'entry.id', 'pumpMount.entryId')
    .select(['pumpId', 'fromOn', 'seq', 'mount'])
    .where(standing('pumpMount'))
    .orderBy('fromOn')
    .orderBy(asWritten),
)

/** How the panels of each pump stand, from which day on. */
export async function pumpMounts(db: Database): Promise<MountRow[]> {
  const rows = await mountRows(db)
  return rows.map((row) => ({ ...row, mount: row.mount as PumpMount }))
}

export async function setPumpMount(
  pen: Pen,
  { pumpId, fromOn, mount }: { pumpId: Id<'pump'>; fromOn: CalendarDate; mount: PumpMount },
): Promise<string> {
  return appendEntry(pen, { kind: 'pump-mount' }, { pumpMount: [{ pumpId, fromOn, mount }] })
}

/** The sky over a pump on a day that is over; written again, the later word counts. */
export async function addPumpDaySky(
  pen: Pen,
  day: { pumpId: Id<'pump'>; onDate: string; sky: Sky; wholeDay: boolean },
): Promise<string> {
  const row = { pumpId: day.pumpId, onDate: day.onDate, sky: day.sky, wholeDay: day.wholeDay ? 1 : 0 }
  return appendEntry(pen, { kind: 'pump-day-sky' }, { pumpDaySky: [row] })
}

type PumpHours = Pick<Pump, 'id' | 'firstHour' | 'lastHour' | 'usualFlowM3PerH'>

/**
 * The days of some pumps with a sky word and what was drawn from each on them, first to last, by pump. What was said of the whole
 * day counts before the notes in the log of its turns.
 */
export function pumpLogDays(
  db: Database,
  pumps: readonly PumpHours[],
): Promise<ReadonlyMap<string, readonly PumpLogDay[]>> {
  const asked = pumps.map(({ id, firstHour, lastHour, usualFlowM3PerH }) => ({
    id,
    firstHour,
    lastHour,
    usualFlowM3PerH,
  }))
  return kept(db, 'log days of pumps', asked, () => readLogDays(db, asked))
}

async function readLogDays(db: Database, pumps: readonly PumpHours[]): Promise<Map<string, PumpLogDay[]>> {
  if (pumps.length === 0) return new Map()
  const ids = pumps.map(({ id }) => id)
  const [words, drawn, noted] = await askTogether(db, skyWords(db, ids), drawnByDay(db, ids), notedDraws(db, ids))
  const logs: [string, PumpLogDay[]][] = []
  for (const pump of pumps) {
    const isOwn = ({ pumpId }: { pumpId: string | null }) => pumpId === pump.id
    const volumes = new Map(drawn.filter(isOwn).map((row) => [row.onDate, row.volumeM3]))
    const said = words.filter(isOwn).map(({ onDate, sky, wholeDay }) => {
      return [onDate, { sky: sky as Sky, wholeDay: wholeDay === 1 }] as const
    })
    const days = new Map([...(await notedDays(db, pump, noted.filter(isOwn))), ...said])
    const log = [...days].map(([on, day]) => ({ on, volumeM3: volumes.get(on) ?? 0, ...day }))
    logs.push([pump.id, log.sort((a, b) => (a.on < b.on ? -1 : 1))])
  }
  return new Map(logs)
}

function skyWords(db: Database, pumpIds: Id<'pump'>[]) {
  return db
    .selectFrom('pumpDaySky')
    .innerJoin('entry', 'entry.id', 'pumpDaySky.entryId')
    .select(['pumpId', 'onDate', 'sky', 'wholeDay'])
    .where('pumpId', 'in', pumpIds)
    .where(standing('pumpDaySky'))
    .orderBy('onDate')
    .orderBy(asWritten)
}

function drawnByDay(db: Database, pumpIds: Id<'pump'>[]) {
  return db
    .selectFrom('abstraction')
    .select(({ fn }) => ['pumpId', 'onDate', fn.sum<number>('volumeM3').as('volumeM3')])
    .where('pumpId', 'in', pumpIds)
    .where(standing('abstraction'))
    .groupBy(['pumpId', 'onDate'])
}

function notedDraws(db: Database, pumpIds: Id<'pump'>[]) {
  return db
    .selectFrom('abstraction')
    .leftJoin('drawNote', 'drawNote.entryId', 'abstraction.entryId')
    .select(['pumpId', 'onDate', 'outletId', 'startTime', 'endTime', 'sky'])
    .where('pumpId', 'in', pumpIds)
    .where(standing('abstraction'))
    .orderBy('onDate')
}

type NotedDraw = Awaited<ReturnType<ReturnType<typeof notedDraws>['execute']>>[number]

/** What the log of the turns says of the sky, day by day. */
async function notedDays(db: Database, pump: PumpHours, rows: readonly NotedDraw[]) {
  const last = rows.at(-1)?.onDate
  const flows = new Map((last ? await listOutlets(db, last) : []).map((outlet) => [outlet.id, outlet.flowM3PerH]))
  const minute = (clock: string | null) => (clock === null ? null : clockMinute(clock))
  const draws = rows.map((row) => ({
    on: row.onDate,
    sky: row.sky as Sky | null,
    startMinute: minute(row.startTime),
    endMinute: minute(row.endTime),
    outletM3PerH: flows.get(row.outletId ?? '') ?? 0,
  }))
  return [...group(draws, (draw) => draw.on)].flatMap(([on, own]) => {
    const noted = notedSky({ draws: own, ...pump })
    return noted ? [[on, noted] as const] : []
  })
}
