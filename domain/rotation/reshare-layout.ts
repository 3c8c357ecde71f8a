import type { ReshareInput } from './reshare.ts'
import type { PlannedTurn } from './timetable-types.ts'
import type { WeekInputs } from './week-inputs.ts'
import { TURN_RULES } from './week-limits.ts'

const MINUTES_PER_DAY = 24 * 60
/** A thousandth of a litre: sums of minutes carry rounding. */
const ROUNDING_M3 = 1e-6

export interface ToLay {
  turn: PlannedTurn
  drawnM3: number
  /** On top of what was drawn already. */
  wantedM3: number
}

export interface Laid extends ToLay {
  carriedM3: number
  now: PlannedTurn | null
}

/** The pump's flow of each minute that is still to come, in m3 a minute. */
export function flowOfDay({ fromMinute, downUntilMinute = 0, flowM3PerHByHour }: ReshareInput): Float64Array {
  const first = Math.max(fromMinute, downUntilMinute)
  return Float64Array.from({ length: MINUTES_PER_DAY }, (_, minute) =>
    minute < first ? 0 : (flowM3PerHByHour[Math.floor(minute / 60)] ?? 0) / 60,
  )
}

/** What a turn has drawn by the plan when the day changes: whoever is earlier on the list draws first. */
export function drawnUntil({ inputs, on, pumpId, fromMinute, turns }: ReshareInput, turn: PlannedTurn): number {
  if (turn.startMinute >= fromMinute) return 0
  const flow = inputs.pumps.find((pump) => pump.id === pumpId)?.flowM3PerHByDay[on] ?? []
  const earlier = turns.filter((one) => one.startMinute < turn.startMinute)
  let drawnM3 = 0
  for (let minute = turn.startMinute; minute < Math.min(fromMinute, turn.endMinute); minute++) {
    let leftM3 = (flow[Math.floor(minute / 60)] ?? 0) / 60
    for (const one of earlier)
      if (one.endMinute > minute) leftM3 = Math.max(0, leftM3 - outletM3PerMinute(inputs, one.outletId))
    drawnM3 += Math.min(outletM3PerMinute(inputs, turn.outletId), leftM3)
  }
  return drawnM3
}

/** The list laid out at the agreed times or later; packed from the front where that carries more. */
export function layDay(input: ReshareInput, flow: Float64Array, toLay: readonly ToLay[]): Laid[] {
  const atAgreedTimes = layInOrder(input, flow, toLay, false)
  if (shortOf(atAgreedTimes) <= 0.001) return atAgreedTimes
  const packed = layInOrder(input, flow, toLay, true)
  return shortOf(packed) < shortOf(atAgreedTimes) ? packed : atAgreedTimes
}

/** What was wanted and found no place. */
export function shortOf(laid: readonly Laid[]): number {
  return laid.reduce((sum, { wantedM3, carriedM3 }) => sum + wantedM3 - carriedM3, 0)
}

function layInOrder(input: ReshareInput, flow: Float64Array, toLay: readonly ToLay[], isPacked: boolean): Laid[] {
  const { inputs, pumpId, fromMinute } = input
  const leftM3 = Float64Array.from(flow)
  const atOnce = inputs.pumps.find((pump) => pump.id === pumpId)?.outletsAtOnce ?? 1
  const lineFreeAt: number[] = Array.from({ length: atOnce }, () => 0)
  const laid: Laid[] = []
  for (const one of toLay) {
    const line = lineFreeAt.indexOf(Math.min(...lineFreeAt))
    const isRunning = one.turn.startMinute < fromMinute
    const agreed = isPacked || isRunning ? fromMinute : one.turn.startMinute
    const free = lineFreeAt[line]! === 0 ? 0 : lineFreeAt[line]! + pauseBefore(input, one.turn)
    const start = startOf(input, leftM3, one.turn, Math.max(agreed, free), laid)
    const end = start === null ? null : drawFrom(inputs, leftM3, one, start)
    const now = nowOf(one, { start, end, fromMinute })
    laid.push({ ...one, carriedM3: end?.carriedM3 ?? 0, now })
    if (now && end && end.carriedM3 > 0) lineFreeAt[line] = now.endMinute
  }
  return laid
}

/** The walk to the next valve, and until water comes there. */
function pauseBefore({ inputs }: ReshareInput, turn: PlannedTurn): number {
  return TURN_RULES.changeoverMinutes + (inputs.turnFacts?.fillingMinutes[turn.outletId] ?? 0)
}

/** The first minute on the grid at which water comes, the holder can, and no barred outlet is open. */
function startOf(
  { inputs, on, fromMinute }: ReshareInput,
  leftM3: Float64Array,
  turn: PlannedTurn,
  notBefore: number,
  laid: readonly Laid[],
): number | null {
  const cannot = (inputs.turnFacts?.noTurnHours ?? []).filter(
    (hours) => hours.plotId === turn.plotId && hours.on === on,
  )
  const barred = (inputs.turnFacts?.notTogether ?? []).filter((pair) => pair.includes(turn.outletId)).flat()
  for (let minute = notBefore; minute < MINUTES_PER_DAY; minute++) {
    if (minute !== fromMinute && minute % TURN_RULES.gridMinutes !== 0) continue
    if (leftM3[minute]! <= ROUNDING_M3) continue
    if (cannot.some(({ fromHour = 0, toHour = 24 }) => minute >= fromHour * 60 && minute < toHour * 60)) continue
    const isHeld = laid.some(
      ({ now }) => now && now.endMinute > minute && (now.outletId === turn.outletId || barred.includes(now.outletId)),
    )
    if (!isHeld) return minute
  }
  return null
}

/** Draws until the volume has come or the water ends. */
function drawFrom(inputs: WeekInputs, leftM3: Float64Array, { turn, wantedM3 }: ToLay, start: number) {
  const most = outletM3PerMinute(inputs, turn.outletId)
  let carriedM3 = 0
  let minute = start
  while (minute < MINUTES_PER_DAY && leftM3[minute]! > ROUNDING_M3 && carriedM3 + ROUNDING_M3 < wantedM3) {
    const drawn = Math.min(most, leftM3[minute]!)
    leftM3[minute]! -= drawn
    carriedM3 += drawn
    minute++
  }
  const floored = Math.floor(Math.min(wantedM3, carriedM3 + ROUNDING_M3) * 1000 + 1e-6) / 1000
  return { endMinute: minute, carriedM3: floored }
}

/** The turn as it holds now; one that was running when the day changed keeps its start and what it has drawn. */
function nowOf(
  { turn, drawnM3 }: ToLay,
  laid: { start: number | null; end: { endMinute: number; carriedM3: number } | null; fromMinute: number },
): PlannedTurn | null {
  const { start, end, fromMinute } = laid
  const carriedM3 = end?.carriedM3 ?? 0
  const volumeM3 = Math.round((drawnM3 + carriedM3) * 1000) / 1000
  if (volumeM3 <= 0) return null
  const isRunning = turn.startMinute < fromMinute
  const startMinute = isRunning ? turn.startMinute : start!
  const shortest = isRunning ? startMinute + 1 : startMinute + TURN_RULES.minTurnMinutes
  const endMinute = Math.max(carriedM3 > 0 ? end!.endMinute : fromMinute, shortest)
  return { ...turn, startMinute, endMinute, volumeM3, hours: (endMinute - startMinute) / 60 }
}

function outletM3PerMinute({ outlets }: WeekInputs, outletId: string): number {
  return (outlets.find((outlet) => outlet.id === outletId)?.flowM3PerH ?? 0) / 60
}
