import type { Id } from '../id.ts'
import { inOrder, layTurn } from './manual-change/lay-turn.ts'
import type { PlannedTurn } from './timetable/types.ts'
import type { WeekInputs } from './week/inputs.ts'

export type SwapRefusal = 'no-outlet-there' | 'beyond-flow' | 'turn-there-already'

/**
 * Two turns change their places: each keeps its plot, outlet and volume and takes the other's day and start. What the
 * flow does not carry is refused, and nobody else's turn is touched.
 */
export function swapTurns({
  inputs,
  turns,
  first,
  second,
}: {
  inputs: WeekInputs
  turns: readonly PlannedTurn[]
  first: PlannedTurn
  second: PlannedTurn
}): { first: PlannedTurn; second: PlannedTurn } | { refusal: SwapRefusal } {
  const others = turns.filter((turn) => turn !== first && turn !== second)
  if (hasTurnThere(others, first, second.on) || hasTurnThere(others, second, first.on)) {
    return { refusal: 'turn-there-already' }
  }
  const laid = laidInOrder(inputs, others, [
    { turn: first, on: second.on, startMinute: second.startMinute },
    { turn: second, on: first.on, startMinute: first.startMinute },
  ])
  return laid ? { first: laid[0]!, second: laid[1]! } : { refusal: 'beyond-flow' }
}

/** A turn given to another plot: the same hour and pump, through an outlet of the plot that takes it. */
export function giveTurn({
  inputs,
  turns,
  turn,
  toPlotId,
}: {
  inputs: WeekInputs
  turns: readonly PlannedTurn[]
  turn: PlannedTurn
  toPlotId: Id<'plot'>
}): { turn: PlannedTurn } | { refusal: SwapRefusal } {
  const own = inputs.plots.find((plot) => plot.id === toPlotId)?.outletIds ?? []
  const tankId = inputs.outlets.find((outlet) => outlet.id === turn.outletId)?.tankId
  const there = inputs.outlets.filter(
    (outlet) => outlet.pumpId === turn.pumpId && outlet.tankId === tankId && own.includes(outlet.id),
  )
  const outlet = there.find((one) => one.id === turn.outletId) ?? there[0]
  if (!outlet) return { refusal: 'no-outlet-there' }
  const others = turns.filter((one) => one !== turn)
  const { on, startMinute, volumeM3 } = turn
  const wish = { plotId: toPlotId, outletId: outlet.id, on, startMinute, volumeM3 }
  if (others.some((one) => one.plotId === toPlotId && one.outletId === outlet.id && one.on === on)) {
    return { refusal: 'turn-there-already' }
  }
  const laid = layTurn(inputs, others, wish)
  return laid && isFree(inputs, others, laid) ? { turn: laid } : { refusal: 'beyond-flow' }
}

interface Move {
  turn: PlannedTurn
  on: string
  startMinute: number
}

function laidInOrder(inputs: WeekInputs, others: readonly PlannedTurn[], moves: readonly Move[]) {
  const laid: PlannedTurn[] = []
  for (const { turn, on, startMinute } of moves) {
    const { plotId, outletId, volumeM3 } = turn
    const beside = inOrder([...others, ...laid])
    const moved = layTurn(inputs, beside, { plotId, outletId, on, startMinute, volumeM3 })
    if (!moved || !isFree(inputs, beside, moved)) return null
    laid.push(moved)
  }
  return laid
}

function hasTurnThere(others: readonly PlannedTurn[], { plotId, outletId }: PlannedTurn, on: string): boolean {
  return others.some((turn) => turn.plotId === plotId && turn.outletId === outletId && turn.on === on)
}

/** No more outlets of the pump are open at once than may be, and this one is held by nobody else. */
export function isFree({ pumps }: WeekInputs, others: readonly PlannedTurn[], laid: PlannedTurn): boolean {
  const atOnce = pumps.find((pump) => pump.id === laid.pumpId)?.outletsAtOnce ?? 1
  const beside = others.filter(
    ({ pumpId, on, startMinute, endMinute }) =>
      pumpId === laid.pumpId && on === laid.on && startMinute < laid.endMinute && endMinute > laid.startMinute,
  )
  if (beside.some((turn) => turn.outletId === laid.outletId)) return false
  for (let minute = laid.startMinute; minute < laid.endMinute; minute++) {
    const open = beside.filter((turn) => turn.startMinute <= minute && minute < turn.endMinute)
    if (open.length >= atOnce) return false
  }
  return true
}
