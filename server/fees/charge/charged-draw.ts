import type { ChargedAbstraction } from '../../../domain/fees/charge/types.ts'
import { DRINKING } from '../../../domain/fees/tariff/tariff.ts'
import { type Abstraction, clockHours } from '../../abstractions/draw/store.ts'

/**
 * A draw as it is charged. People's and animals' water go by the same price, which is nothing unless the group set one.
 * Pump hours are those that were written, else those between the clock times, an hour more or less on the night of a
 * clock change.
 */
export function chargedDraw({
  draw,
  timeZone,
  planned,
  chargedPlace,
}: {
  draw: Abstraction
  timeZone: string
  /** What was agreed for each turn. */
  planned: ReadonlyMap<string, number>
  chargedPlace: number | undefined
}): ChargedAbstraction {
  const { id, onDate, volumeM3, grade, use, startTime, endTime } = draw
  const hours = draw.hours ?? clockHours(onDate, startTime, endTime, timeZone)
  const plannedM3 = planned.get(draw.turnId ?? '')
  return {
    id,
    on: onDate,
    volumeM3,
    grade,
    use: use === 'irrigation' ? use : DRINKING,
    ...(hours !== null && { pumpHours: hours }),
    ...(plannedM3 !== undefined && { plannedM3 }),
    ...(chargedPlace !== undefined && { chargedPlace }),
  }
}
