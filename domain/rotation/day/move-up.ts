import { TURN_RULES } from '../draft/limits.ts'
import { inOrder, layTurn } from '../manual-change/lay-turn.ts'
import { judged } from '../manual-change/week.ts'
import type { PlannedTurn } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'

/** Hard hours are counted anew, and whoever moves up passes somebody by. */
const FOLLOWS_THE_MOVE = ['burdens-differ', 'list-order-broken']

export interface MovedUp {
  was: PlannedTurn
  now: PlannedTurn
}

/**
 * Who moves up into hours that became free: the next on the pump's list of that day, with the same outlet and volume, as
 * early as the hours allow; where the flow or the holder's own hours do not let it, the one after it. Nobody else's turn
 * is touched, and the turn as it is laid passes the judge. Null where nobody can. The group's own custom, no source.
 */
export function moveUp({
  inputs,
  turns,
  freed,
  fromMinute,
  stays,
}: {
  inputs: WeekInputs
  /** All turns that stand on the day, of any pump, without the freed one. */
  turns: readonly PlannedTurn[]
  freed: PlannedTurn
  /** Nobody can be called before this minute. */
  fromMinute: number
  /** Turns that have begun or are over already, by their ids. */
  stays?: ReadonlySet<string>
}): MovedUp | null {
  const first = Math.max(freed.startMinute, fromMinute)
  const tankOf = ({ outletId }: PlannedTurn) => inputs.outlets.find((outlet) => outlet.id === outletId)?.tankId
  const next = turns
    .filter(
      (turn) =>
        tankOf(turn) === tankOf(freed) &&
        turn.pumpId === freed.pumpId &&
        turn.on === freed.on &&
        turn.startMinute > first &&
        !stays?.has(turn.id),
    )
    .sort((a, b) => a.startMinute - b.startMinute || a.order - b.order || (a.id < b.id ? -1 : 1))
  for (const was of next) {
    const others = turns.filter((turn) => turn !== was)
    for (const startMinute of startsOnGrid(first, Math.min(freed.endMinute, was.startMinute))) {
      const now = laidSound(inputs, others, was, startMinute)
      if (now) return { was, now }
    }
  }
  return null
}

function startsOnGrid(fromMinute: number, beforeMinute: number): number[] {
  const grid = TURN_RULES.gridMinutes
  const first = Math.ceil(fromMinute / grid) * grid
  return Array.from({ length: Math.max(0, Math.ceil((beforeMinute - first) / grid)) }, (_, at) => first + at * grid)
}

function laidSound(inputs: WeekInputs, others: readonly PlannedTurn[], was: PlannedTurn, startMinute: number) {
  const { plotId, outletId, on, volumeM3 } = was
  const laid = layTurn(inputs, others, { plotId, outletId, on, startMinute, volumeM3 })
  if (!laid) return null
  const now = { ...laid, id: was.id }
  return isSound(inputs, [...others, now], now) ? now : null
}

/** What others have set aside among themselves is not this turn's matter. */
function isSound(inputs: WeekInputs, turns: readonly PlannedTurn[], now: PlannedTurn): boolean {
  const about = judged(inputs, { turns: inOrder(turns), notes: [] }).filter(
    ({ values }) => values.turnId === now.id || values.otherTurnId === now.id,
  )
  return about.every(({ code }) => FOLLOWS_THE_MOVE.includes(code))
}
