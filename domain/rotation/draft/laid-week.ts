import { sum } from '../../sum.ts'
import { type M3, toLitreM3 } from '../../units.ts'
import { allocate } from '../allocation/allocate.ts'
import type { Allocation, AllocationInput, ClaimAllocation } from '../allocation/types.ts'
import type { KnownParts } from '../timetable/known.ts'
import { type TimetableLimits, timetableLimits } from '../timetable/limits.ts'
import { timetable } from '../timetable/timetable.ts'
import type { TimetableInput, TimetableResult } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'
import { type Carried, weekAllocationInput, weekTimetableInput } from './limits.ts'
import { withTurnFacts } from './with-turn-facts.ts'

/** Rounds of allocation and timetable after which what still has no place is named and taken off. */
const MOST_ROUNDS = 4

/** Volumes and turns of a week, with what they were last reckoned from. */
export interface LaidWeek {
  allocationInput: AllocationInput
  allocation: Allocation
  carried: Carried
  timetableInput: TimetableInput
  timetable: TimetableResult
}

/** Allocation and timetable by turns, until all has its hour; `lay` gives the turns, and `known` what was found to have none before. */
export function laidWeek(
  inputs: WeekInputs,
  lay: Lay = layingOnce(new Map()),
  known: Carried = NOTHING_CARRIED,
): LaidWeek {
  const carried: Carried = { pumpM3: { ...known.pumpM3 }, tankM3: { ...known.tankM3 }, claimM3: { ...known.claimM3 } }
  for (let round = 1; ; round++) {
    const allocationInput = weekAllocationInput(inputs, carried)
    const allocation = allocate(allocationInput)
    const input = hoursOfWeek(inputs, allocation.claims)
    const result = lay(input)
    if (result.unplacedM3.length === 0 || round === MOST_ROUNDS) {
      return { allocationInput, allocation, carried, timetableInput: input, timetable: result }
    }
    carryOver(carried, timetableLimits({ input, result }), result)
  }
}

/** The week's hours, and the volumes to be laid into them. */
export function hoursOfWeek(inputs: WeekInputs, allocated: readonly ClaimAllocation[]): TimetableInput {
  return withTurnFacts(inputs, weekTimetableInput(inputs, allocated))
}

const NOTHING_CARRIED: Carried = { pumpM3: {}, tankM3: {}, claimM3: {} }

type Lay = (input: TimetableInput) => TimetableResult

/** Gives the turns of one week round by round, and lays only the pumps whose work has changed. */
export function layingOnce(known: KnownParts): Lay {
  return (input) => timetable(input, { known })
}

function carryOver(carried: Carried, limits: TimetableLimits, { turns }: TimetableResult): void {
  for (const { pumpId, weekM3 } of limits.pumps) carried.pumpM3[pumpId] = weekM3
  carried.tankM3 = {
    ...carried.tankM3,
    ...Object.fromEntries(limits.tanks.map(({ tankId, weekM3 }) => [tankId, weekM3])),
  }
  for (const { claimId } of limits.claims) {
    carried.claimM3[claimId] = toLitreM3(sum(turns.filter((turn) => turn.claimId === claimId).map(volumeOf)))
  }
}

function volumeOf({ volumeM3 }: { volumeM3: M3 }): number {
  return volumeM3
}
