import type { PlannedTurn, TankFill } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'

export function namedTurn(inputs: WeekInputs, turn: PlannedTurn) {
  const plot = inputs.plots.find((one) => one.id === turn.plotId)
  const outlet = inputs.outlets.find((one) => one.id === turn.outletId)
  const pump = inputs.pumps.find((one) => one.id === turn.pumpId)
  const tank = inputs.tanks?.find((one) => one.id === outlet?.tankId) ?? null
  return { ...turn, plot, outlet: outlet && { ...outlet, tank }, pump }
}

export type NamedTurn = ReturnType<typeof namedTurn>

/** How the tanks are filled on a day, each with the tank's number and name. */
export function namedFills({ tanks = [] }: WeekInputs, fills: readonly TankFill[], day: string) {
  return fills
    .filter((fill) => fill.on === day)
    .map((fill) => ({ ...fill, tank: tanks.find((one) => one.id === fill.tankId)! }))
}
