import type { Id } from '../../../id.ts'
import { MINUTES_PER_DAY } from '../../../units.ts'
import type { PlannedTurn, TimetableInput } from '../types.ts'
import type { TimetableProblem } from './problem.ts'

/** The first turns of a day wait too: from the start of the pump until its line has filled, no water comes. */
export function checkFirstFilling(input: TimetableInput, turns: readonly PlannedTurn[]): TimetableProblem[] {
  return turns.flatMap(({ id, outletId, on, startMinute }) => {
    const filledAt = lineFilledAt(input, outletId, on)
    return startMinute < filledAt ? [{ code: 'line-not-filled', values: { turnId: id, filledAt } }] : []
  })
}

/** When water first comes at an outlet on a day; 0 for one on a raised tank, whose line stands full. */
export function lineFilledAt(
  { outlets, pumps, unavailable }: TimetableInput,
  outletId: Id<'outlet'>,
  on: string,
): number {
  const { pumpId, fillingMinutes = 0, tankId } = outlets.find(({ id }) => id === outletId)!
  if (fillingMinutes === 0 || tankId !== undefined) return 0
  const flows = pumps.find(({ id }) => id === pumpId)!.flowM3PerHByDay[on] ?? []
  const closed = unavailable.filter(
    (each) => (each.pumpId ?? pumpId) === pumpId && each.outletId === undefined && (each.on ?? on) === on,
  )
  for (let minute = 0; minute < MINUTES_PER_DAY; minute++) {
    const isOpen = closed.every(
      ({ fromHour = 0, toHour = 24 }) => (minute + 1) / 60 <= fromHour + 1e-9 || minute / 60 >= toHour - 1e-9,
    )
    if (isOpen && (flows[Math.floor(minute / 60)] ?? 0) > 0) return minute + fillingMinutes
  }
  return 0
}
