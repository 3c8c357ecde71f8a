import { downToLitreM3, type M3 } from '../../units.ts'
import type { PlannedTurn } from '../timetable/types.ts'
import { outletM3PerMinute } from './reshare-hours.ts'
import type { ReshareInput } from './reshare-input.ts'

/** What a turn has drawn when the day changes, and whether the log says so or only the plan. */
export interface Drawn {
  drawnM3: M3
  /** Null for a turn that had not begun. */
  drawnBy: 'log' | 'plan' | null
}

/** The log counts where it has an entry for the turn; else what the plan had brought by then, at most the turn. */
export function drawnSoFar(input: ReshareInput, turn: PlannedTurn): Drawn {
  const loggedM3 = input.loggedM3?.[turn.id]
  if (loggedM3 !== undefined) return { drawnM3: downToLitreM3(Math.min(turn.volumeM3, loggedM3)), drawnBy: 'log' }
  if (turn.startMinute >= input.fromMinute) return { drawnM3: 0, drawnBy: null }
  return { drawnM3: Math.min(turn.volumeM3, downToLitreM3(drawnByPlan(input, turn))), drawnBy: 'plan' }
}

/** Minute by minute as planned: whoever is earlier on the list draws first. */
function drawnByPlan(input: ReshareInput, turn: PlannedTurn): number {
  const { inputs, on, pumpId, fromMinute, turns } = input
  const flow = inputs.pumps.find((pump) => pump.id === pumpId)?.flowM3PerHByDay[on] ?? []
  const earlier = turns.filter((one) => one !== turn && isBefore(one, turn))
  let drawnM3 = 0
  for (let minute = turn.startMinute; minute < Math.min(fromMinute, turn.endMinute); minute++) {
    let leftM3 = (flow[Math.floor(minute / 60)] ?? 0) / 60
    for (const one of earlier)
      if (one.startMinute <= minute && one.endMinute > minute)
        leftM3 = Math.max(0, leftM3 - outletM3PerMinute(input, one.outletId))
    drawnM3 += Math.min(outletM3PerMinute(input, turn.outletId), leftM3)
  }
  return drawnM3
}

/** The order of a pump's list. */
export function byList(a: PlannedTurn, b: PlannedTurn): number {
  return a.startMinute - b.startMinute || a.order - b.order || (a.id < b.id ? -1 : 1)
}

function isBefore(a: PlannedTurn, b: PlannedTurn): boolean {
  return byList(a, b) < 0
}
