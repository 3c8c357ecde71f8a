import type { Id } from '../../../domain/id.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { turnsByDay } from './view.ts'

type Day = ReturnType<typeof turnsByDay>[number]
type Row = Day['rows'][number]
type Turn = Day['turns'][number]

/** A turn on its strip: where it begins and how wide it is in per cent of the day, how high the water stands in it. */
interface Block {
  turn: Turn
  left: number
  width: number
  /** How far from the top of its height the water begins, in per cent: empty above. */
  top: number
  isOwn: boolean
  isOfficers: boolean
  isGone: boolean
}

/** The turns of one pump or tank that follow each other; two at once lie on two strips. */
interface Strip {
  pumpNumber: number | null
  tankNumber: number | null
  blocks: Block[]
  fills: { tankNumber: number; left: number; width: number }[]
}

interface Whose {
  own: ReadonlySet<Id<'plot'>>
  officers: readonly Id<'plot'>[]
}

/** The week as strips: a row a pump, hours across, length for time and height for flow, so that the area is water. */
export function weekStrips(inputs: WeekInputs, days: readonly Day[], whose: Whose) {
  const hours = hoursAcross(days)
  const most = Math.max(...days.flatMap(({ turns }) => turns.map(flowOf)), 0)
  const draw = { inputs, whose, hours, most }
  return {
    hours: hourLines(hours),
    days: days.map((day) => ({ day: day.day, closed: day.closed, strips: stripsOfDay(day, draw) })),
  }
}

interface Hours {
  from: number
  to: number
}

interface Draw {
  inputs: WeekInputs
  whose: Whose
  hours: Hours
  most: number
}

/** From the full hour before the first turn to the one after the last. */
function hoursAcross(days: readonly Day[]): Hours {
  const rows = days.flatMap((day) => day.rows)
  const from = Math.floor(Math.min(...rows.map((row) => row.startMinute), 12 * 60) / 60)
  const to = Math.ceil(Math.max(...rows.map((row) => row.endMinute), 13 * 60) / 60)
  return { from, to }
}

function hourLines({ from, to }: Hours) {
  return Array.from({ length: to - from + 1 }, (_, at) => ({ hour: from + at, left: percent(at / (to - from)) }))
}

function stripsOfDay(day: Day, draw: Draw): Strip[] {
  const lanes = new Map<string, Row[][]>()
  for (const row of day.rows) {
    const key = laneKey(row)
    const rows = lanes.get(key) ?? []
    const free = rows.find((lane) => lane.at(-1)!.endMinute <= row.startMinute)
    if (free) free.push(row)
    else rows.push([row])
    lanes.set(key, rows)
  }
  const strips = [...lanes.values()].flat().map((lane) => strip(lane, draw))
  return strips.toSorted((a, b) => place(a) - place(b))
}

/** Pumps in the order of their numbers, the tanks below. */
function place({ pumpNumber, tankNumber }: Strip): number {
  return tankNumber === null ? (pumpNumber ?? 0) : 1000 + tankNumber
}

function laneKey(row: Row): string {
  if (isFill(row)) return `pump ${row.pumpId}`
  return row.outlet?.tank ? `tank ${row.outlet.tank.id}` : `pump ${row.pumpId}`
}

function strip(lane: Row[], { inputs, whose, hours, most }: Draw): Strip {
  const first = lane[0]!
  const tank = isFill(first) ? null : (first.outlet?.tank ?? null)
  return {
    pumpNumber: tank ? null : (inputs.pumps.find((pump) => pump.id === first.pumpId)?.number ?? null),
    tankNumber: tank?.number ?? null,
    blocks: lane.flatMap((row) => (isFill(row) ? [] : [block(row, { whose, hours, most })])),
    fills: lane.flatMap((row) => (isFill(row) ? [{ tankNumber: row.tank.number, ...across(row, hours) }] : [])),
  }
}

function block(turn: Turn, { whose, hours, most }: Omit<Draw, 'inputs'>): Block {
  return {
    turn,
    ...across(turn, hours),
    top: percent(1 - flowOf(turn) / most),
    isOwn: whose.own.has(turn.plotId),
    isOfficers: whose.officers.includes(turn.plotId),
    isGone: Boolean(turn.droppedBy) || Boolean('missed' in turn && turn.missed),
  }
}

function across({ startMinute, endMinute }: { startMinute: number; endMinute: number }, { from, to }: Hours) {
  const minutes = (to - from) * 60
  return { left: percent((startMinute - from * 60) / minutes), width: percent((endMinute - startMinute) / minutes) }
}

function isFill(row: Row): row is Exclude<Row, Turn> {
  return 'tank' in row
}

function flowOf({ volumeM3, startMinute, endMinute }: Turn): number {
  return volumeM3 / (endMinute - startMinute)
}

function percent(part: number): number {
  return Math.round(part * 10_000) / 100
}

/** What the list of a day says in its folded line. */
export function daySums(days: readonly Day[], own: ReadonlySet<Id<'plot'>>) {
  return days.map(({ day, turns }) => ({
    day,
    count: turns.length,
    volumeM3: turns.filter(({ droppedBy }) => !droppedBy).reduce((sum, { volumeM3 }) => sum + volumeM3, 0),
    own: turns.filter(({ plotId }) => own.has(plotId)).length,
  }))
}
