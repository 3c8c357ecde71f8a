import { group } from 'd3-array'
import { type CalendarDate, weekdayOf } from '../../../calendar.ts'
import type { Id } from '../../../id.ts'
import { sum } from '../../../sum.ts'
import { type Litres, litresToM3, type M3, MINUTES_PER_DAY, wholeLitresDown, wholeLitresUp } from '../../../units.ts'
import { BURDENS } from '../burdens.ts'
import { openDaysByHours, startsOnGrid, turnsApart, type WishedStretch, wishedStretches } from '../open-hours.ts'
import type { Inflow } from '../tank/fills.ts'
import { gravityMinutes } from '../tank/hours.ts'
import type {
  BurdenCounts,
  OutletsTogether,
  TimetableAllocation,
  TimetableInput,
  TimetableOutlet,
  TimetableTank,
} from '../types.ts'
import { flowByMinute, LITRES_PER_MINUTE_OF_M3_PER_H, type Supply, supplyOf } from './supply.ts'

/** Beyond this a difference counts a twentieth only: it still says who is spared, but sets no hard hour above water. */
const MUCH_CARRIED = 6
/** More than any number of valves carry: gravity turns are held by their outlets and by what stands in the tank. */
const VALVE_LITRES_PER_MINUTE = 1e9

/** One allocation in the form that the search works on: litres, minutes and day numbers. */
export interface Row {
  allocation: TimetableAllocation
  litres: Litres
  litresPerMinute: number
  fillingMinutes: number
  /** Rows of one outlet, and rows of one plot, carry the same number. */
  outlet: number
  plot: number
  /** Last day of the week before the crop suffers; -1 when that day is already past. */
  lastGoodDay: number
  linePosition: number
  /** Place on the pump's list; null where the turns do not go by list or the name is not on it. */
  listPlace: number | null
  /** Stretches in which a whole turn meets the holder's wish; none where nothing is wished. */
  wished: WishedStretch[]
  /** Per day and minute: the minute at which the open stretch around it ends, 0 where closed. */
  openUntil: Int16Array[]
  /** Per day and minute: the next start on the grid that leaves room for the shortest turn; MINUTES_PER_DAY for none. */
  nextStart: Int16Array[]
}

/** One pump's week, or one tank's: pumps share nothing, so each is timetabled alone, and its tanks after it. */
export interface PumpWeek {
  pumpId: Id<'pump'>
  days: CalendarDate[]
  supply: Supply
  rows: Row[]
  outletsAtOnce: number
  /** Whether outlets i and j may be open at once, at i * outlets + j. */
  mayMeet: boolean[]
  outletCount: number
  /** Room for the search to write in while it lays out a day. */
  scratch: Record<'linesFreeAt' | 'outletFreeAt' | 'barredUntil', Int16Array> & { flow: Float64Array }
  headPosition: number
  tailPosition: number
  onBurdenWeekday: boolean[]
  /** Plots that wished for hours. */
  wishers: number
  /** Asked for in all. */
  litres: Litres
  /** How much oftener than the luckiest a plot has carried each burden, at plot x burdens. */
  carried: Float64Array
  rules: Required<TimetableInput['rules']>
  /** For turns by gravity: the tank that they draw from. */
  tank?: TankStock
}

/** A tank in whole litres: what it holds, keeps back and begins with, and what the pump leaves for it on each day. */
export interface TankStock {
  capacity: number
  floor: number
  start: number
  inflows: Inflow[][]
}

/** What is to be drawn straight from one pump. */
export interface PumpWork {
  pumpId: Id<'pump'>
  allocations: TimetableAllocation[]
}

/** The work of each pump that turns draw from directly, by the pump's id. */
export function pumpWorks(input: TimetableInput): PumpWork[] {
  const outlets = outletsOf(input)
  const direct = input.allocations.filter((each) => hasWater(each) && !outlets.get(each.outletId)!.tankId)
  const byPump = group(direct.sort(byIds), (each) => outlets.get(each.outletId)!.pumpId)
  return [...byPump]
    .map(([pumpId, allocations]) => ({ pumpId, allocations }))
    .sort((a, b) => compareText(a.pumpId, b.pumpId))
}

/** The week of one pump, with its flow in litres a minute and the rows to be laid out. */
export function pumpWeek(input: TimetableInput, { pumpId, allocations }: PumpWork): PumpWeek {
  const pump = input.pumps.find(({ id }) => id === pumpId)!
  const flow = input.week.days.map((day) => flowByMinute(pump.flowM3PerHByDay[day]))
  return sourceWeek(input, { pumpId, flow, allocations, outlets: outletsOf(input) })
}

/** A tank's week of gravity turns: its valves give what the outlets carry, as long as it stands above its floor. */
export function tankWeek(input: TimetableInput, tank: TimetableTank, inflows: Inflow[][]): PumpWeek | null {
  const outlets = outletsOf(input)
  const fed = input.allocations.filter((each) => hasWater(each) && outlets.get(each.outletId)!.tankId === tank.id)
  if (fed.length === 0) return null
  const flow = input.week.days.map((day) =>
    Float64Array.from(gravityMinutes(input, tank, day), (isOpen) => isOpen * VALVE_LITRES_PER_MINUTE),
  )
  const { id, pumpId, capacityM3, floorM3, startM3 } = tank
  return {
    ...sourceWeek(input, { pumpId, flow, allocations: fed.sort(byIds), outlets }),
    // Known by its tank, as a pump's week is by its pump.
    pumpId: id as string,
    tank: {
      capacity: wholeLitresDown(capacityM3),
      floor: wholeLitresUp(floorM3),
      start: wholeLitresDown(startM3),
      inflows,
    },
  }
}

function outletsOf(input: TimetableInput): Map<string, TimetableOutlet> {
  return new Map(input.outlets.map((outlet) => [outlet.id, outlet]))
}

interface Source {
  pumpId: Id<'pump'>
  flow: Float64Array[]
  allocations: TimetableAllocation[]
  outlets: Map<string, TimetableOutlet>
}

function sourceWeek(input: TimetableInput, { pumpId, flow, allocations, outlets }: Source): PumpWeek {
  const { days } = input.week
  const rules = fullRules(input)
  const outletIds = [...new Set(allocations.map(({ outletId }) => outletId))]
  const plotIds = [...new Set(allocations.map(({ plotId }) => plotId))]
  const together = input.together?.find((each) => each.pumpId === pumpId)
  const openOf = openDaysByHours(input, { pumpId, flow })
  const startsOf = once((until: Int16Array) => startsOnGrid(until, rules))
  const rows = allocations.flatMap((allocation): Row[] => {
    const { outletId, plotId, latestOn } = allocation
    const { tankId, fillingMinutes = 0 } = outlets.get(outletId)!
    const atFirst = tankId ? 0 : fillingMinutes // a gravity line stands full
    const openUntil = openOf(allocation, atFirst)
    const row = {
      allocation,
      litresPerMinute: outlets.get(outletId)!.flowM3PerH * LITRES_PER_MINUTE_OF_M3_PER_H,
      fillingMinutes: outlets.get(outletId)!.fillingMinutes ?? 0,
      outlet: outletIds.indexOf(outletId),
      plot: plotIds.indexOf(plotId),
      linePosition: allocation.linePosition ?? 0,
      listPlace: allocation.listPlace ?? null,
    }
    const wished = wishedStretches(allocation, days)
    const lastGoodDay = latestOn === undefined ? days.length - 1 : days.findLastIndex((day) => day <= latestOn)
    return turnsApart(allocation, litresOf(allocation.volumeM3), openUntil).map(
      ({ litres, openUntil: until }, turn): Row => {
        return {
          ...row,
          litres,
          wished,
          lastGoodDay: turn === 0 ? lastGoodDay : days.length - 1,
          openUntil: until,
          nextStart: until.map(startsOf),
        }
      },
    )
  })
  const outletsAtOnce = together?.atMost ?? 1
  return {
    pumpId,
    days,
    supply: supplyOf(flow),
    rows,
    rules,
    outletsAtOnce,
    mayMeet: outletIds.flatMap((a) => outletIds.map((b) => a !== b && mayBeOpenTogether(together, a, b))),
    outletCount: outletIds.length,
    scratch: {
      flow: new Float64Array(MINUTES_PER_DAY),
      linesFreeAt: new Int16Array(outletsAtOnce),
      outletFreeAt: new Int16Array(outletIds.length),
      barredUntil: new Int16Array(outletIds.length),
    },
    headPosition: Math.min(...rows.map(({ linePosition }) => linePosition)),
    tailPosition: Math.max(...rows.map(({ linePosition }) => linePosition)),
    onBurdenWeekday: days.map((day) => rules.burdenWeekdays.includes(weekdayOf(day))),
    wishers: new Set(rows.filter(({ wished }) => wished.length > 0).map(({ plot }) => plot)).size,
    litres: sum(rows, ({ litres }) => litres),
    carried: carriedBeforehand(plotIds.map((plotId) => input.history?.[plotId] ?? {})),
  }
}

/** The same answer for the same thing, worked out once. */
function once<T extends object, A>(work: (thing: T) => A): (thing: T) => A {
  const known = new Map<T, A>()
  return (thing) => {
    const answer = known.get(thing) ?? work(thing)
    known.set(thing, answer)
    return answer
  }
}

function carriedBeforehand(history: BurdenCounts[]): Float64Array {
  const least = BURDENS.map((burden) => Math.min(...history.map((counts) => counts[burden] ?? 0)))
  const beyondLeast = history.flatMap((counts) => BURDENS.map((burden, at) => (counts[burden] ?? 0) - least[at]!))
  return Float64Array.from(beyondLeast, (more) => Math.min(more, MUCH_CARRIED) + Math.max(0, more - MUCH_CARRIED) / 20)
}

function mayBeOpenTogether(together: OutletsTogether | undefined, a: string, b: string): boolean {
  return together?.pairs?.some(([x, y]) => (x === a && y === b) || (x === b && y === a)) ?? true
}

function fullRules({ rules }: TimetableInput): PumpWeek['rules'] {
  return {
    minTurnMinutes: rules.minTurnMinutes,
    maxTurnMinutes: rules.maxTurnMinutes ?? MINUTES_PER_DAY,
    changeoverMinutes: rules.changeoverMinutes,
    gridMinutes: rules.gridMinutes ?? 5,
    burdenWeekdays: rules.burdenWeekdays ?? [7],
  }
}

function litresOf(volumeM3: M3): number {
  return Math.round(volumeM3 / litresToM3(1))
}

function hasWater({ volumeM3 }: TimetableAllocation): boolean {
  return litresOf(volumeM3) > 0
}

function byIds(a: TimetableAllocation, b: TimetableAllocation): number {
  return compareText(a.claimId, b.claimId) || compareText(a.outletId, b.outletId)
}

/** The order of texts by their code units, the same in every language and place; for ids. */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0
}
