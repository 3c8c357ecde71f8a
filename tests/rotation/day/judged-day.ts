import type { ResharedTurn } from '../../../domain/rotation/day/reshare.ts'
import type { ReshareInput } from '../../../domain/rotation/day/reshare-input.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { TurnFacts } from '../../../domain/rotation/week/turn-facts.ts'
import { ruleWeek, WEEK_ON } from '../rule/week.ts'

const BASE = ruleWeek({ plots: { a: { needM3: 1 } } })
const [PUMP, OUTLET] = [BASE.pumps[0]!, BASE.outlets[0]!]
const NO_FACTS: TurnFacts = {
  ...{ pumps: [], noTurnHours: [], linePositions: {}, notTogether: [], fillingMinutes: {}, burdens: {} },
  ...{ officerPlotIds: [], changes: [] },
}

export interface Day {
  input: ReshareInput & { turns: PlannedTurn[]; openIds: Set<string> }
  turns: ResharedTurn[]
}

/** A day shared anew at 10:00 by hand: the pump gives 6 m3/h to 17:00, 100 litres a minute, and each outlet as much. */
export function day(): Day {
  const flow = Array.from({ length: 24 }, (_, hour) => (hour >= 8 && hour < 17 ? 6 : 0))
  return {
    input: {
      inputs: {
        ...BASE,
        outlets: ['x', 'y', 'z'].map((id) => ({ ...OUTLET, id, flowM3PerH: 6 })),
        turnFacts: { ...NO_FACTS, fillingMinutes: {} },
      },
      results: { allocationInput: { weirs: [], pumps: [], outlets: [], claims: [] } },
      ...{ on: WEEK_ON, pumpId: PUMP.id, fromMinute: 600, flowM3PerHByHour: flow, weekM3ByPlot: {} },
      ...{ turns: [], openIds: new Set<string>(), rules: { minTurnMinutes: 10, changeoverMinutes: 5, gridMinutes: 1 } },
    },
    turns: [],
  }
}

/** A turn as it stood, of 100 litres a minute; open unless it is said to have ended. */
export function stood(w: Day, plotId: string, outletId: string, startMinute: number, minutes: number, isOpen = true) {
  const place = {
    id: plotId,
    claimId: plotId,
    plotId,
    outletId,
    pumpId: PUMP.id,
    on: WEEK_ON,
    order: w.input.turns.length + 1,
  }
  const stretch = { startMinute, endMinute: startMinute + minutes, hours: minutes / 60, volumeM3: minutes / 10 }
  const turn: PlannedTurn = { ...place, ...stretch, burdens: [] }
  w.input.turns.push(turn)
  if (isOpen) w.input.openIds.add(plotId)
  return turn
}

/** The same turn as it was laid anew, from a minute for some minutes, with all their water; the rest is short. */
export function laid(w: Day, was: PlannedTurn, startMinute: number, minutes: number, more: Partial<ResharedTurn> = {}) {
  const isRunning = was.startMinute < w.input.fromMinute
  const drawnM3 = more.drawnM3 ?? (isRunning ? (w.input.fromMinute - was.startMinute) / 10 : 0)
  const carriedM3 = more.carriedM3 ?? minutes / 10
  const endMinute = startMinute + minutes
  const now = {
    ...was,
    startMinute: isRunning ? was.startMinute : startMinute,
    endMinute,
    volumeM3: Math.round((carriedM3 + drawnM3) * 1000) / 1000,
  }
  w.turns.push({
    ...{ was, now, drawnM3, drawnBy: isRunning ? 'plan' : null, carriedM3, stretch: { startMinute, endMinute } },
    ...{ shortM3: Math.round((was.volumeM3 - drawnM3 - carriedM3) * 1000) / 1000, ...more },
  })
  return w.turns.at(-1)!
}

export const set = <T extends object>(thing: T, values: Partial<T>) => Object.assign(thing, values)

export const atOnce = ({ input }: Day, outletsAtOnce: number) =>
  set(input.inputs, { pumps: input.inputs.pumps.map((pump) => ({ ...pump, outletsAtOnce })) })
