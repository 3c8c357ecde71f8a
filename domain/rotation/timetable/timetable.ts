import { sum } from '../../sum.ts'
import { wholeLitres } from '../../units.ts'
import { directFirst } from './direct-first.ts'
import { checkTimetableInput } from './input.ts'
import type { KnownParts } from './known.ts'
import { reservedForTanks } from './tank/reserve.ts'
import type { TimetableInput, TimetableResult } from './types.ts'

/**
 * The week's turns by volume under each pump's hour-by-hour flow. The flow of a turn is the smaller of its outlet's flow and what
 * the turns before it on the day's list leave of the pump's; a turn is one stretch of a day, and what does not fit is
 * given on another day or named as unplaced. Volumes are whole litres; a claim's turns and its unplaced water sum to its volume.
 * `effort` is the part of the usual number of plans that is looked at: less for a week that only tries something. Whoever lays several
 * weeks that differ in their volumes alone hands the same `known` to all of them: a pump with the same work is laid once.
 */
export function timetable(
  input: TimetableInput,
  { effort = 1, known = new Map() }: { effort?: number; known?: KnownParts } = {},
): TimetableResult {
  checkTimetableInput(input)
  const looked = { effort, known }
  const apart = serving(input, looked)
  if (apart.unplacedM3.length === 0 || input.allocations.every(({ spaced }) => !spaced)) return apart
  // Days between turns are a wish; where they would cost water, all hours are free for it.
  const allocations = input.allocations.map(({ spaced: _, ...allocation }) => allocation)
  return serving({ ...input, allocations }, looked)
}

function serving(input: TimetableInput, looked: { effort: number; known: KnownParts }): TimetableResult {
  const result = directFirst(input, looked)
  const short = pumpsWithShortTanks(input, result)
  if (short.size === 0) return result
  const reserved = reservedForTanks(input).filter(({ pumpId = '' }) => short.has(pumpId))
  const evenly = directFirst(input, { ...looked, unavailable: [...input.unavailable, ...reserved] })
  return unplacedLitres(evenly) < unplacedLitres(result) ? evenly : result
}

/** The pumps of tanks whose turns did not all find water. */
function pumpsWithShortTanks({ outlets }: TimetableInput, { unplacedM3 }: TimetableResult): Set<string> {
  const fed = new Map(outlets.flatMap(({ id, pumpId, tankId }) => (tankId === undefined ? [] : [[id, pumpId]])))
  return new Set(unplacedM3.flatMap(({ outletId }) => fed.get(outletId) ?? []))
}

function unplacedLitres({ unplacedM3 }: TimetableResult): number {
  return sum(unplacedM3, ({ volumeM3 }) => wholeLitres(volumeM3))
}
