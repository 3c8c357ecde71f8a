import type { PlannedTurn, TankFill } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'

type Places = Pick<WeekInputs, 'plots' | 'outlets' | 'pumps' | 'tanks'>

export function namedTurn(inputs: Places, turn: PlannedTurn) {
  const { plots, outlets, pumps, tanks } = placesIn(inputs)
  const outlet = outlets.get(turn.outletId)
  const tank = tanks.get(outlet?.tankId) ?? null
  return { ...turn, plot: plots.get(turn.plotId), outlet: outlet && { ...outlet, tank }, pump: pumps.get(turn.pumpId) }
}

const places = new WeakMap<Places, ReturnType<typeof byId>>()

/** The places of a week by their ids: each of its turns asks for them. */
function placesIn(inputs: Places) {
  const known = places.get(inputs) ?? byId(inputs)
  places.set(inputs, known)
  return known
}

function byId({ plots, outlets, pumps, tanks = [] }: Places) {
  const of = <T extends { id: string }>(all: readonly T[]) =>
    new Map<string | undefined, T>(all.map((one) => [one.id, one]))
  return { plots: of(plots), outlets: of(outlets), pumps: of(pumps), tanks: of(tanks) }
}

export type NamedTurn = ReturnType<typeof namedTurn>

/** How the tanks are filled on a day, each with the tank's number and name. */
export function namedFills({ tanks = [] }: WeekInputs, fills: readonly TankFill[], day: string) {
  return fills
    .filter((fill) => fill.on === day)
    .map((fill) => ({ ...fill, tank: tanks.find((one) => one.id === fill.tankId)! }))
}
