import { sum } from '../../sum.ts'
import { LITRES_PER_M3, type M3, wholeLitres } from '../../units.ts'

/** What became of a turn on the list of a day. `open` is a turn of which nothing has been written yet. */
const OUTCOME_STATES = ['done', 'missed', 'excused', 'moved', 'open'] as const
export type OutcomeState = (typeof OUTCOME_STATES)[number]

interface StateTotal {
  count: number
  volumeM3: M3
}

export interface DayTotals {
  byState: Record<OutcomeState, StateTotal>
  listed: StateTotal
  /** A sheet closes when no turn is open: then done + missed + excused + moved is all that was listed. */
  isClosed: boolean
}

/** The turns of a day's list by what became of them, in whole litres, so that the parts add up to the list exactly. */
export function dayTotals({ turns }: { turns: readonly { state: OutcomeState; volumeM3: M3 }[] }): DayTotals {
  const byState = Object.fromEntries(
    OUTCOME_STATES.map((state) => [state, totalOf(turns.filter((turn) => turn.state === state))]),
  ) as Record<OutcomeState, StateTotal>
  return { byState, listed: totalOf(turns), isClosed: byState.open.count === 0 }
}

function totalOf(turns: readonly { volumeM3: M3 }[]): StateTotal {
  const litres = sum(turns, ({ volumeM3 }) => wholeLitres(volumeM3))
  return { count: turns.length, volumeM3: litres / LITRES_PER_M3 }
}
