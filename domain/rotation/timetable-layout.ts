import { MINUTES_PER_DAY, type PumpWeek, type Row } from './timetable-week.ts'

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
  litres: number
}

/** Turns by day, and for each day (and one more) what every row still waits for when it begins. */
export interface Layout {
  days: Placed[][]
  restBefore: Float64Array[]
}

/** Where the outlets of a pump stand while a day is laid out. */
interface DayState {
  flow: Float64Array
  linesFreeAt: Int16Array
  outletFreeAt: Int16Array
  lastStart: number
  turns: Placed[]
}

/**
 * Turns a plan into turns: day by day, whoever can start soonest starts, and of those the first in the day's order.
 * After a change of one day's plan only the days that it touches are laid out again.
 */
export function layOut(week: PumpWeek, plan: Plan, before?: { layout: Layout; changedDay: number }): Layout {
  const from = before?.changedDay ?? 0
  const days = before ? before.layout.days.slice() : []
  const restBefore = before ? before.layout.restBefore.slice() : [Float64Array.from(week.rows, ({ litres }) => litres)]
  for (let day = from; day < week.days.length; day++) {
    const rest = restBefore[day]!.slice()
    days[day] = layOutDay(week, plan, day, rest)
    if (before && isSame(rest, before.layout.restBefore[day + 1]!)) break
    restBefore[day + 1] = rest
  }
  return { days, restBefore }
}

export function restAfter({ restBefore }: Layout): Float64Array {
  return restBefore.at(-1)!
}

function isSame(a: Float64Array, b: Float64Array): boolean {
  for (let index = 0; index < a.length; index++) if (a[index] !== b[index]) return false
  return true
}

/** Lays out one day and takes what it gives from `rest`. */
function layOutDay(week: PumpWeek, plan: Plan, day: number, rest: Float64Array): Placed[] {
  const base = week.flow[day]!
  const state: DayState = {
    flow: week.outletsAtOnce > 1 ? week.scratch : base,
    linesFreeAt: new Int16Array(week.outletsAtOnce),
    outletFreeAt: new Int16Array(week.outletCount),
    lastStart: 0,
    turns: [],
  }
  if (week.outletsAtOnce > 1) week.scratch.set(base)
  const waiting: number[] = []
  for (const row of plan.order[day]!) if (rest[row]! > 0 && plan.atMost[day]![row] !== SKIP) waiting.push(row)
  while (waiting.length > 0) {
    const next = soonest(week, plan, day, state, waiting)
    if (next.startMinute >= MINUTES_PER_DAY) break
    const row = waiting[next.at]!
    waiting.splice(next.at, 1)
    const turn = run(week, plan, day, state, row, next.startMinute, rest[row]!)
    if (!turn) continue
    rest[row]! -= turn.litres
    state.turns.push(turn)
  }
  return state.turns
}

function soonest(week: PumpWeek, plan: Plan, day: number, state: DayState, waiting: number[]) {
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
    const startMinute = earliest < best.startMinute ? startFrom(week, row, day, state, earliest) : MINUTES_PER_DAY
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
function startFrom(week: PumpWeek, row: Row, day: number, state: DayState, earliest: number): number {
  const next = row.nextStart[day]!
  let start = next[Math.min(earliest, MINUTES_PER_DAY)]!
  if (week.outletsAtOnce === 1) return start
  while (start < MINUTES_PER_DAY) {
    const met = state.turns.find(
      (turn) => turn.endMinute > start && !week.mayMeet[week.rows[turn.row]!.outlet * week.outletCount + row.outlet],
    )
    if (!met && state.flow[start]! > 1e-9) return start
    start = next[met ? met.endMinute : start + 1]!
  }
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
  wantedLitres: number,
): Placed | null {
  const { litresPerMinute, openUntil, outlet } = week.rows[row]!
  const { minTurnMinutes, maxTurnMinutes, changeoverMinutes } = week.rules
  const longest = Math.min(maxTurnMinutes, plan.atMost[day]![row] || maxTurnMinutes)
  const shortestEnd = startMinute + minTurnMinutes
  const lastEnd = Math.min(openUntil[day]![startMinute]!, startMinute + Math.max(longest, minTurnMinutes))
  const shared = week.outletsAtOnce > 1
  const { flow } = state
  let given = 0
  let minute = startMinute
  while (minute < lastEnd) {
    const left = flow[minute]!
    if (minute >= shortestEnd && (given >= wantedLitres - 1e-6 || left <= 1e-9)) break
    const drawn = Math.min(left, litresPerMinute)
    given += drawn
    if (shared) flow[minute] = left - drawn
    minute++
  }
  const litres = Math.min(wantedLitres, Math.floor(given + 1e-6))
  if (litres === 0) return null
  state.lastStart = startMinute
  state.outletFreeAt[outlet] = minute + changeoverMinutes
  state.linesFreeAt[firstFree(state.linesFreeAt)] = minute + changeoverMinutes
  return { row, day, order: state.turns.length, startMinute, endMinute: minute, litres }
}
