import { type Litres, MINUTES_PER_DAY } from '../../../units.ts'
import type { PumpWeek, Row, TankStock } from '../pump/pump-week.ts'
import { DRY_LITRES_PER_MINUTE, turnAlone, turnBeside } from '../pump/supply.ts'

/** What the search may choose; all arrays are days x rows. */
export interface Plan {
  /** Per day the rows in order of precedence. */
  order: Int16Array[]
  /** Per day and row: not before this minute; 0 for no wish. */
  notBefore: Int16Array[]
  /** Per day and row: at most so many minutes; 0 for no limit, SKIP for no turn on that day. */
  atMost: Int16Array[]
}

export const SKIP = -1

export interface Placed {
  row: number
  day: number
  /** Place on the day's list, from 0. */
  order: number
  startMinute: number
  endMinute: number
  litres: Litres
}

/** Where the outlets of a pump stand while a day is laid out. */
interface DayState {
  flow: Float64Array
  linesFreeAt: Int16Array
  outletFreeAt: Int16Array
  /** Until when a turn runs that an outlet must not meet. */
  barredUntil: Int16Array
  lastStart: number
  turns: Placed[]
  /** What stands in the tank, and how many of the day's inflows are in it. */
  stock: number
  inflowsIn: number
}

/** Lays out one day and takes what it gives from `rest`; tells what then stands in the tank. */
export function layOutDay(
  week: PumpWeek,
  plan: Plan,
  day: number,
  { rest, stock }: { rest: Float64Array; stock: number },
): { turns: Placed[]; stock: number } {
  const { scratch } = week
  const base = week.supply.flow[day]!
  if (week.outletsAtOnce > 1) scratch.flow.set(base)
  const state: DayState = {
    flow: week.outletsAtOnce > 1 ? scratch.flow : base,
    linesFreeAt: scratch.linesFreeAt.fill(0),
    outletFreeAt: scratch.outletFreeAt.fill(0),
    barredUntil: scratch.barredUntil.fill(0),
    lastStart: 0,
    turns: [],
    stock,
    inflowsIn: 0,
  }
  const waiting: number[] = []
  for (const row of plan.order[day]!) if (rest[row]! > 0 && plan.atMost[day]![row] !== SKIP) waiting.push(row)
  while (waiting.length > 0) {
    const next = soonest(week, plan, day, state, { waiting, rest })
    if (next.startMinute >= MINUTES_PER_DAY) break
    const row = waiting[next.at]!
    waiting.splice(next.at, 1)
    const turn = run(week, plan, day, state, row, next.startMinute, rest[row]!)
    if (!turn) continue
    rest[row]! -= turn.litres
    state.turns.push(turn)
  }
  if (week.tank) fillUntil(week.tank, day, state, MINUTES_PER_DAY)
  return { turns: state.turns, stock: state.stock }
}

function soonest(
  week: PumpWeek,
  plan: Plan,
  day: number,
  state: DayState,
  { waiting, rest }: { waiting: number[]; rest: Float64Array },
) {
  const freeAt = state.linesFreeAt[firstFree(state.linesFreeAt)]!
  const lineFreeAt = Math.max(state.lastStart, freeAt)
  let best = { at: 0, startMinute: MINUTES_PER_DAY }
  for (let at = 0; at < waiting.length; at++) {
    const row = week.rows[waiting[at]!]!
    const wish = plan.notBefore[day]![waiting[at]!]!
    const { fillingMinutes } = row
    const outletFreeAt = state.outletFreeAt[row.outlet]!
    const filledAt = Math.max(freeAt && freeAt + fillingMinutes, outletFreeAt && outletFreeAt + fillingMinutes)
    const earliest = Math.max(lineFreeAt, wish, filledAt)
    const wanted = rest[waiting[at]!]!
    const startMinute =
      earliest < best.startMinute ? startFrom(week, row, day, state, { earliest, wanted }) : MINUTES_PER_DAY
    if (startMinute < best.startMinute) best = { at, startMinute }
    if (best.startMinute <= lineFreeAt) break
  }
  return best
}

function firstFree(freeAt: Int16Array): number {
  let first = 0
  for (let line = 1; line < freeAt.length; line++) if (freeAt[line]! < freeAt[first]!) first = line
  return first
}

/** The first start at which the row is open, water is left and no outlet is running that it must not meet. */
function startFrom(
  week: PumpWeek,
  row: Row,
  day: number,
  state: DayState,
  { earliest, wanted }: { earliest: number; wanted: number },
): number {
  const next = row.nextStart[day]!
  const notBefore = week.tank ? minuteWithStock(week, row, day, state, { earliest, wanted }) : earliest
  if (week.outletsAtOnce === 1) return next[Math.min(notBefore, MINUTES_PER_DAY)]!
  let start = next[Math.min(Math.max(notBefore, state.barredUntil[row.outlet]!), MINUTES_PER_DAY)]!
  while (start < MINUTES_PER_DAY && state.flow[start]! <= DRY_LITRES_PER_MINUTE) start = next[start + 1]!
  return start
}

/** Runs the row from its start until its water is given, its hours or its longest turn end, or nothing is left to draw. */
function run(
  week: PumpWeek,
  plan: Plan,
  day: number,
  state: DayState,
  row: number,
  startMinute: number,
  wantedLitres: Litres,
): Placed | null {
  const { litresPerMinute, openUntil, outlet } = week.rows[row]!
  const { minTurnMinutes, maxTurnMinutes, changeoverMinutes } = week.rules
  const longest = Math.min(maxTurnMinutes, plan.atMost[day]![row] || maxTurnMinutes)
  const shortestEnd = startMinute + minTurnMinutes
  const lastEnd = Math.min(openUntil[day]![startMinute]!, startMinute + Math.max(longest, minTurnMinutes))
  if (week.tank) fillUntil(week.tank, day, state, startMinute)
  if (week.tank) wantedLitres = Math.min(wantedLitres, state.stock - week.tank.floor)
  const hours = { startMinute, shortestEnd, lastEnd, wanted: wantedLitres - 1e-6 }
  const shared = week.outletsAtOnce > 1
  const { endMinute, given } = shared
    ? turnBeside(state.flow, litresPerMinute, hours)
    : turnAlone(week.supply, { day, litresPerMinute }, hours)
  const litres = Math.min(wantedLitres, Math.floor(given + 1e-6))
  if (litres <= 0) return null
  if (week.tank) state.stock -= litres
  state.lastStart = startMinute
  state.outletFreeAt[outlet] = endMinute + changeoverMinutes
  state.linesFreeAt[firstFree(state.linesFreeAt)] = endMinute + changeoverMinutes
  if (shared) bar(week, state, outlet, endMinute)
  return { row, day, order: state.turns.length, startMinute, endMinute, litres }
}

/** The outlets that must not be open beside one wait until its turn ends. */
function bar({ mayMeet, outletCount }: PumpWeek, { barredUntil }: DayState, outlet: number, endMinute: number): void {
  for (let other = 0; other < outletCount; other++)
    if (!mayMeet[outlet * outletCount + other] && barredUntil[other]! < endMinute) barredUntil[other] = endMinute
}

/** Lets in what came before a minute; what the tank cannot hold stays in the sand. */
function fillUntil({ capacity, inflows }: TankStock, day: number, state: DayState, minute: number): void {
  const ofDay = inflows[day]!
  for (; ofDay[state.inflowsIn] && ofDay[state.inflowsIn]!.endMinute <= minute; state.inflowsIn++) {
    state.stock = Math.max(state.stock, Math.min(capacity, state.stock + ofDay[state.inflowsIn]!.litres))
  }
}

/** When the tank holds what the shortest turn draws, or all that the row still waits for: no valve is opened for less. */
function minuteWithStock(
  { tank, rules }: PumpWeek,
  { litresPerMinute }: Row,
  day: number,
  state: DayState,
  { earliest, wanted }: { earliest: number; wanted: number },
): number {
  const { capacity, floor, inflows } = tank!
  const least = floor + Math.min(wanted, Math.ceil(litresPerMinute * rules.minTurnMinutes))
  if (state.stock >= least) return earliest
  let stock = state.stock
  for (const { endMinute, litres } of inflows[day]!.slice(state.inflowsIn)) {
    stock = Math.max(stock, Math.min(capacity, stock + litres))
    if (stock >= least) return Math.max(earliest, endMinute)
  }
  return MINUTES_PER_DAY
}
