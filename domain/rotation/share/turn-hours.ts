import { InputError } from '../../input-error.ts'
import { sum } from '../../sum.ts'

interface TimeMember {
  /** Land, shares or any size by which hours are shared. */
  size: number
  /** From the previous outlet's closing until water comes here. */
  fillingHours: number
  /** Water that still runs here from the line after the source is shut; as a rule the last member's alone. */
  drainingHours: number
}

/**
 * Hours of each member's turn where a group shares by time along a long line: hours of one unit of size = (period - (all
 * filling - all draining)) / all sizes; a turn = that x own size + own filling - own draining. The turns add up to the period,
 * and everyone has the same running water for the same size; losses on the way are not in it. Throws InputError
 * `turn-hours-none` where filling takes the whole period. Source: the usual formula of turns by time on watercourses
 * (warabandi), Bandaragoda and Rehman 1995, from memory.
 */
export function turnHours({ periodHours, members }: { periodHours: number; members: readonly TimeMember[] }): {
  hoursPerSize: number
  turns: number[]
} {
  const filling = sum(members, ({ fillingHours }) => fillingHours)
  const draining = sum(members, ({ drainingHours }) => drainingHours)
  const sizes = sum(members, ({ size }) => size)
  const hoursPerSize = (periodHours - (filling - draining)) / sizes
  if (!(sizes > 0 && hoursPerSize > 0)) throw new InputError('turn-hours-none')
  const turnOf = ({ size, fillingHours, drainingHours }: TimeMember) =>
    hoursPerSize * size + fillingHours - drainingHours
  return { hoursPerSize, turns: members.map(turnOf) }
}
