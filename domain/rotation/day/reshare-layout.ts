import { sum } from '../../sum.ts'
import { type M3, MINUTES_PER_DAY } from '../../units.ts'
import type { PlannedTurn } from '../timetable/types.ts'
import type { RestOfDay, TurnHours } from './reshare-hours.ts'

/** A thousandth of a litre: sums of minutes carry rounding. */
const ROUNDING_M3 = 1e-6

export interface ToLay {
  turn: PlannedTurn
  wantedM3: M3
}

export interface Laid extends ToLay {
  carriedM3: M3
  /** The stretch in which it still draws; null where nothing comes any more. */
  stretch: { startMinute: number; endMinute: number } | null
}

interface Manner {
  /** Called as soon as a line is free, else not before the agreed time. */
  isPacked: boolean
  /** Waits for hours that hold all its water, where the day still has such. */
  waitsForAll: boolean
}

const MANNERS: Manner[] = [
  { isPacked: false, waitsForAll: false },
  { isPacked: false, waitsForAll: true },
  { isPacked: true, waitsForAll: false },
  { isPacked: true, waitsForAll: true },
]

/** The list laid out at the agreed times or later; packed from the front, or waiting, only where that carries more. */
export function layDay(rest: RestOfDay, toLay: readonly ToLay[], isBetter = carriesMore): Laid[] {
  let best: Laid[] | null = null
  for (const manner of MANNERS) {
    const laid = layInManner(rest, toLay, manner)
    if (best === null || isBetter(laid, best)) best = laid
    if (shortOf(best) < 0.0005) break
  }
  return best!
}

function carriesMore(laid: readonly Laid[], than: readonly Laid[]): boolean {
  return shortOf(laid) < shortOf(than) - 0.0005
}

/** Whether the first name on the list that the two layouts serve unlike is served better. */
export function isServedBefore(laid: readonly Laid[], than: readonly Laid[]): boolean {
  const at = laid.findIndex((one, place) => Math.abs(one.carriedM3 - than[place]!.carriedM3) > 0.0005)
  return at >= 0 && laid[at]!.carriedM3 > than[at]!.carriedM3
}

/** What was wanted and found no place. */
export function shortOf(laid: readonly Laid[]): number {
  return sum(laid, ({ wantedM3, carriedM3 }) => wantedM3 - carriedM3)
}

/** Where lines and outlets stand while the day is laid out. */
interface DayState {
  leftM3: Float64Array
  linesFreeAt: number[]
  outletsFreeAt: Map<string, number>
  lastStart: number
  laid: Laid[]
}

/** Whoever can start soonest starts, and of those the first on the list; so nobody draws before an earlier one. */
function layInManner(rest: RestOfDay, toLay: readonly ToLay[], manner: Manner): Laid[] {
  const { flowM3, linesFreeAt, outletsFreeAt } = rest
  const state: DayState = {
    leftM3: Float64Array.from(flowM3),
    linesFreeAt: [...linesFreeAt],
    outletsFreeAt: new Map(outletsFreeAt),
    lastStart: 0,
    laid: [],
  }
  const waiting = toLay.filter(({ wantedM3 }) => wantedM3 > 0)
  while (waiting.length > 0) {
    const starts = waiting.map((one) => startOf(rest, state, one, manner))
    const startMinute = Math.min(...starts)
    if (startMinute >= MINUTES_PER_DAY) break
    const [next] = waiting.splice(starts.indexOf(startMinute), 1)
    run(rest, state, next!, startMinute)
  }
  const laidTurns = new Map(state.laid.map((laid) => [laid.turn.id, laid]))
  return toLay.map((one) => laidTurns.get(one.turn.id) ?? { ...one, carriedM3: 0, stretch: null })
}

/** The first minute at which a line is free, water is left, the holder can, and no barred outlet is open. */
function startOf(rest: RestOfDay, state: DayState, { turn, wantedM3 }: ToLay, manner: Manner): number {
  const hours = rest.byTurn.get(turn.id)!
  const called = manner.isPacked ? Math.min(turn.startMinute, rest.callableFromMinute) : turn.startMinute
  const agreed = hours.isRunning ? 0 : called
  const { lineFreeAt, outletFreeAt } = hours.isRunning ? freeAfterLaid(rest, state, turn) : freeAfterAll(state, turn)
  const filled = (freeAt: number) => (freeAt === 0 ? 0 : freeAt + hours.fillingMinutes)
  const pumpStarts = hours.isRunning || rest.pumpStartsAt === 0 ? 0 : rest.pumpStartsAt + hours.fillingMinutes
  const earliest = Math.max(state.lastStart, agreed, filled(lineFreeAt), filled(outletFreeAt), pumpStarts)
  let first = MINUTES_PER_DAY
  for (let minute = earliest; minute < MINUTES_PER_DAY; minute++) {
    if (!mayStart(rest, state, hours, minute)) continue
    if (!manner.waitsForAll || bringsAll(hours, minute, wantedM3)) return minute
    first = Math.min(first, minute)
  }
  return first
}

function freeAfterAll({ linesFreeAt, outletsFreeAt }: DayState, { outletId }: PlannedTurn) {
  return { lineFreeAt: Math.min(...linesFreeAt), outletFreeAt: outletsFreeAt.get(outletId) ?? 0 }
}

/**
 * A running turn has its line and its outlet already; only whoever took one of them while it could not go on, in hours that its
 * holder cannot say, is waited for.
 */
function freeAfterLaid({ linesFreeAt: lines, rules }: RestOfDay, { laid }: DayState, { outletId }: PlannedTurn) {
  const free = laid.flatMap(({ turn, stretch }) =>
    stretch ? [{ outletId: turn.outletId, at: stretch.endMinute + rules.changeoverMinutes }] : [],
  )
  const latest = free.map(({ at }) => at).sort((a, b) => b - a)
  const ofOutlet = free.filter((one) => one.outletId === outletId)
  return { lineFreeAt: latest[lines.length - 1] ?? 0, outletFreeAt: Math.max(0, ...ofOutlet.map(({ at }) => at)) }
}

/** A running turn goes on at once; another one starts on the grid, where the shortest turn still fits. */
function mayStart({ rules }: RestOfDay, state: DayState, hours: TurnHours, minute: number): boolean {
  const minutes = hours.openUntil[minute]! - minute
  if (minutes <= 0 || state.leftM3[minute]! <= ROUNDING_M3 / 60) return false
  if (!hours.isRunning && (minute % rules.gridMinutes !== 0 || minutes < rules.minTurnMinutes)) return false
  return !state.laid.some(
    ({ turn, stretch }) => stretch && stretch.endMinute > minute && hours.barredOutletIds.has(turn.outletId),
  )
}

function bringsAll({ openUntil, aloneM3Until, longestMinutes }: TurnHours, minute: number, wantedM3: M3): boolean {
  const end = Math.min(openUntil[minute]!, minute + longestMinutes)
  return aloneM3Until[end]! - aloneM3Until[minute]! + ROUNDING_M3 >= wantedM3
}

/** Draws until the volume has come, the hours or the longest turn end, or nothing is left to draw. */
function run(rest: RestOfDay, state: DayState, { turn, wantedM3 }: ToLay, startMinute: number): void {
  const { openUntil, longestMinutes, outletM3, isRunning } = rest.byTurn.get(turn.id)!
  const { minTurnMinutes, changeoverMinutes } = rest.rules
  const shortestEnd = startMinute + (isRunning ? 1 : minTurnMinutes)
  const lastEnd = Math.min(openUntil[startMinute]!, startMinute + longestMinutes)
  let givenM3 = 0
  let minute = startMinute
  for (; minute < lastEnd; minute++) {
    const isDone = givenM3 >= wantedM3 - ROUNDING_M3 / 1000 || state.leftM3[minute]! <= ROUNDING_M3 / 60
    if (minute >= shortestEnd && isDone) break
    const drawnM3 = Math.min(outletM3, state.leftM3[minute]!)
    state.leftM3[minute]! -= drawnM3
    givenM3 += drawnM3
  }
  const carriedM3 = Math.min(wantedM3, Math.floor(givenM3 * 1000 + 1e-6) / 1000)
  if (carriedM3 <= 0) return
  state.lastStart = startMinute
  state.outletsFreeAt.set(turn.outletId, minute + changeoverMinutes)
  state.linesFreeAt[state.linesFreeAt.indexOf(Math.min(...state.linesFreeAt))] = minute + changeoverMinutes
  state.laid.push({ turn, wantedM3, carriedM3, stretch: { startMinute, endMinute: minute } })
}
