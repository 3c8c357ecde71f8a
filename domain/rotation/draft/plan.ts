import { sum } from '../../sum.ts'
import { type M3, toLitreM3 } from '../../units.ts'
import { allocate } from '../allocation/allocate.ts'
import type { Allocation, AllocationInput } from '../allocation/types.ts'
import { withWhatHolds } from '../allocation/what-holds.ts'
import { type TimetableLimits, timetableLimits } from '../timetable/limits.ts'
import { timetable } from '../timetable/timetable.ts'
import type { TimetableResult, UnplacedVolume } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'
import type { PlannedWeek } from '../week/planned-week.ts'
import { drinkingClaimId } from './claims.ts'
import { type Carried, weekAllocationInput, weekTimetableInput } from './limits.ts'
import { plannedShares } from './planned-shares.ts'
import { withTurnFacts } from './with-turn-facts.ts'

export type { WeekInputs } from '../week/inputs.ts'
export type { PlannedShare } from '../week/planned-week.ts'

/** Rounds of allocation and timetable after which what still has no place is named and taken off. */
const MOST_ROUNDS = 4

/**
 * The whole week in one pure step: allocation, then turns by volume; volume that finds no hour becomes a limit and the
 * allocation is run again, so that water which one plot cannot take goes to the others.
 */
export function planWeek(inputs: WeekInputs): PlannedWeek {
  const carried: Carried = { pumpM3: {}, tankM3: {}, claimM3: {} }
  for (let round = 1; ; round++) {
    const allocationInput = weekAllocationInput(inputs, carried)
    const allocation = allocate(allocationInput)
    const input = withTurnFacts(inputs, weekTimetableInput(inputs, allocation.claims))
    const result = timetable(input)
    if (result.unplacedM3.length === 0 || round === MOST_ROUNDS) {
      return plannedWeek(inputs, { allocationInput, allocation, carried, timetable: result })
    }
    carryOver(carried, timetableLimits({ input, result }), result)
  }
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

interface Reckoned {
  allocationInput: AllocationInput
  allocation: Allocation
  carried: Carried
  timetable: TimetableResult
}

function plannedWeek(inputs: WeekInputs, reckoned: Reckoned): PlannedWeek {
  const { allocationInput, carried, timetable } = reckoned
  const withWeir = (weirId: string, releasableM3: M3) => {
    const weirs = inputs.weirs.map((weir) => (weir.id === weirId ? { ...weir, releasableM3 } : weir))
    return weekAllocationInput({ ...inputs, weirs }, carried)
  }
  const allocation = withWhatHolds({ input: allocationInput, allocation: reckoned.allocation, withWeir })
  const given = new Map(allocation.claims.map((claim) => [claim.id, claim]))
  const unplaced = timetable.unplacedM3
  return {
    shares: plannedShares(inputs, { allocation, hoursM3: carried.claimM3, unplaced }),
    drinking: inputs.weirs.map((weir) => ({
      weirId: weir.id,
      neededM3: weir.drinkingM3,
      allocatedM3: given.get(drinkingClaimId(weir.id))?.allocatedM3 ?? 0,
    })),
    leftM3ByWeir: leftWith(inputs, allocation.leftM3ByWeir, unplaced),
    turns: timetable.turns,
    ...(timetable.fills ? { fills: timetable.fills } : {}),
    unplaced,
    notes: timetable.notes,
    allocationInput,
    allocation,
  }
}

/** Water without a place in the week stays in the sand. */
function leftWith(inputs: WeekInputs, left: Record<string, number>, unplaced: readonly UnplacedVolume[]) {
  const leftM3ByWeir = { ...left }
  for (const { outletId, volumeM3 } of unplaced) {
    const outlet = inputs.outlets.find((one) => one.id === outletId)
    const pump = inputs.pumps.find((one) => one.id === outlet?.pumpId)
    if (pump) leftM3ByWeir[pump.weirId] = toLitreM3((leftM3ByWeir[pump.weirId] ?? 0) + volumeM3)
  }
  return leftM3ByWeir
}

function volumeOf({ volumeM3 }: { volumeM3: M3 }): number {
  return volumeM3
}
