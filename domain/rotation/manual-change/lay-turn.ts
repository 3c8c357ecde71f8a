import { weekdayOf } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { type M3, MINUTES_PER_DAY, toLitreM3 } from '../../units.ts'
import { turnRules } from '../draft/limits.ts'
import { tankWorksOf, timetableTanks } from '../draft/tanks.ts'
import { turnBurdens } from '../timetable/burdens.ts'
import { compareText } from '../timetable/pump/pump-week.ts'
import { tankCourse } from '../timetable/tank/fills.ts'
import { gravityMinutes } from '../timetable/tank/hours.ts'
import type { PlannedTurn } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'

const SUNDAY = 7
/** A thousandth of a litre: sums of minutes carry rounding. */
const ROUNDING_M3 = 1e-6

/** A turn wished for by hand: where, when and how much. */
export interface WishedTurn {
  plotId: Id<'plot'>
  outletId: Id<'outlet'>
  on: string
  startMinute: number
  volumeM3: M3
}

/**
 * Lays one more turn into a day beside the others: whoever starts earlier draws first. Null where the flow does not carry its
 * volume until the day's end, where a later turn would no longer get its own, or where a tank would run dry.
 */
export function layTurn(inputs: WeekInputs, others: readonly PlannedTurn[], wish: WishedTurn): PlannedTurn | null {
  const { tankId } = inputs.outlets.find((one) => one.id === wish.outletId)!
  const turn = tankId ? layGravityTurn(inputs, tankId, wish) : layDirectTurn(inputs, others, wish)
  return turn && tanksCarry(inputs, others, turn) ? turn : null
}

function layDirectTurn(inputs: WeekInputs, others: readonly PlannedTurn[], wish: WishedTurn): PlannedTurn | null {
  const outlet = inputs.outlets.find((one) => one.id === wish.outletId)!
  const fed = new Set(inputs.outlets.filter((one) => one.tankId).map((one) => one.id))
  const sameDay = others
    .filter((turn) => turn.pumpId === outlet.pumpId && turn.on === wish.on && !fed.has(turn.outletId))
    .sort(byStart)
  const earlier = sameDay.filter((turn) => turn.startMinute <= wish.startMinute)
  const leftM3 = flowByMinute(inputs, outlet.pumpId, wish.on)
  for (const turn of earlier) draw(inputs, leftM3, turn, turn.endMinute)
  const shortestMinutes = turnRules(inputs).minTurnMinutes
  const endMinute = endOf(leftM3, wish, { outletM3PerMinute: outlet.flowM3PerH / 60, shortestMinutes })
  if (endMinute === null) return null
  const turn = turnOf(wish, outlet.pumpId, endMinute)
  draw(inputs, leftM3, turn, endMinute)
  for (const later of sameDay.filter((one) => one.startMinute > wish.startMinute))
    if (draw(inputs, leftM3, later, later.endMinute) + ROUNDING_M3 < later.volumeM3) return null
  return turn
}

/** A gravity turn runs at its outlet's flow, outside the pump's hours; a day without turns the hand may set aside. */
function layGravityTurn(inputs: WeekInputs, tankId: Id<'tank'>, wish: WishedTurn): PlannedTurn | null {
  const outlet = inputs.outlets.find((one) => one.id === wish.outletId)!
  const tank = timetableTanks(inputs).tanks?.find(({ id }) => id === tankId)
  if (!tank) return null
  const minutes = Math.ceil((wish.volumeM3 / outlet.flowM3PerH) * 60 - 1e-6)
  const endMinute = wish.startMinute + Math.max(minutes, turnRules(inputs).minTurnMinutes)
  const open = gravityMinutes({ ...tankWorksOf(inputs), unavailable: [], rules: turnRules(inputs) }, tank, wish.on)
  const isOpen =
    endMinute <= MINUTES_PER_DAY && open.subarray(wish.startMinute, endMinute).every((minute) => minute === 1)
  return isOpen ? turnOf(wish, outlet.pumpId, endMinute) : null
}

/** No gravity turn would find its tank lower than it needs because of this one. */
function tanksCarry(inputs: WeekInputs, others: readonly PlannedTurn[], turn: PlannedTurn): boolean {
  if (!inputs.tanks?.length) return true
  const works = tankWorksOf(inputs)
  const before = new Set(tankCourse({ works, turns: others }).shortTurnIds)
  return tankCourse({ works, turns: [...others, turn] }).shortTurnIds.every((id) => before.has(id))
}

/** The minute at which the volume has come, at least the shortest turn; null when it does not come. */
function endOf(
  leftM3: Float64Array,
  { startMinute, volumeM3 }: WishedTurn,
  { outletM3PerMinute, shortestMinutes }: { outletM3PerMinute: number; shortestMinutes: number },
): number | null {
  let carriedM3 = 0
  for (let minute = startMinute; leftM3[minute]! > 1e-9; minute++) {
    carriedM3 += Math.min(outletM3PerMinute, leftM3[minute]!)
    const isLongEnough = minute + 1 - startMinute >= shortestMinutes
    if (isLongEnough && carriedM3 + ROUNDING_M3 >= volumeM3) return minute + 1
  }
  return null
}

/** Takes what a turn draws until a minute from what is left, and tells how much that is. */
function draw({ outlets }: WeekInputs, leftM3: Float64Array, turn: PlannedTurn, endMinute: number): number {
  const outletM3 = (outlets.find((one) => one.id === turn.outletId)?.flowM3PerH ?? 0) / 60
  let drawnM3 = 0
  for (let minute = turn.startMinute; minute < endMinute; minute++) {
    const drawn = Math.min(outletM3, leftM3[minute]!)
    leftM3[minute]! -= drawn
    drawnM3 += drawn
  }
  return drawnM3
}

function flowByMinute({ pumps }: WeekInputs, pumpId: Id<'pump'>, on: string): Float64Array {
  const flow = pumps.find((one) => one.id === pumpId)?.flowM3PerHByDay[on] ?? []
  return Float64Array.from({ length: MINUTES_PER_DAY }, (_, minute) => (flow[Math.floor(minute / 60)] ?? 0) / 60)
}

function turnOf(wish: WishedTurn, pumpId: Id<'pump'>, endMinute: number): PlannedTurn {
  return {
    id: `${wish.plotId}/${wish.outletId}/${wish.on}`,
    claimId: wish.plotId,
    plotId: wish.plotId,
    outletId: wish.outletId,
    pumpId,
    on: wish.on,
    order: 0,
    startMinute: wish.startMinute,
    endMinute,
    volumeM3: toLitreM3(wish.volumeM3),
    hours: (endMinute - wish.startMinute) / 60,
    burdens: [],
  }
}

/** Gives each day's turns their places and their hard hours anew, in the order of the clock. */
export function inOrder(turns: readonly PlannedTurn[]): PlannedTurn[] {
  const days = new Map<string, PlannedTurn[]>()
  for (const turn of turns) {
    const key = `${turn.on} ${turn.pumpId}`
    days.set(key, [...(days.get(key) ?? []), turn])
  }
  return [...days.values()]
    .flatMap((day) => day.sort(byStart).map((turn, at) => placed(turn, at, day.length)))
    .sort((a, b) => compareText(a.on, b.on) || byStart(a, b))
}

function placed(turn: PlannedTurn, at: number, count: number): PlannedTurn {
  const onBurdenWeekday = weekdayOf(turn.on) === SUNDAY
  const { startMinute, endMinute } = turn
  const isLast = count > 1 && at === count - 1
  return { ...turn, order: at + 1, burdens: turnBurdens({ startMinute, endMinute, onBurdenWeekday, isLast }) }
}

function byStart(a: PlannedTurn, b: PlannedTurn): number {
  return a.startMinute - b.startMinute || a.order - b.order || compareText(a.id, b.id)
}
