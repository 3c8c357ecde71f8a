import type { Id } from '../../id.ts'
import { type M3, toLitreM3 } from '../../units.ts'
import { withWhatHolds } from '../allocation/what-holds.ts'
import type { UnplacedVolume } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'
import type { PlannedWeek } from '../week/planned-week.ts'
import { drinkingClaimId } from './claims.ts'
import { type LaidWeek, laidWeek } from './laid-week.ts'
import { weekAllocationInput } from './limits.ts'
import { plannedShares } from './planned-shares.ts'
import { gainsWithWeir } from './weir-trial.ts'

export type { WeekInputs } from '../week/inputs.ts'
export type { PlannedShare } from '../week/planned-week.ts'

/**
 * The whole week in one pure step: allocation, then turns by volume; volume that finds no hour becomes a limit and the
 * allocation is run again, so that water which one plot cannot take goes to the others. Last it is told what holds each share.
 */
export function planWeek(inputs: WeekInputs): PlannedWeek {
  return plannedWeek(inputs, laidWeek(inputs))
}

function plannedWeek(inputs: WeekInputs, laid: LaidWeek): PlannedWeek {
  const { allocationInput, carried, timetable } = laid
  const opened = (weirId: Id<'weir'>, releasableM3: M3): WeekInputs => ({
    ...inputs,
    weirs: inputs.weirs.map((weir) => (weir.id === weirId ? { ...weir, releasableM3 } : weir)),
  })
  const allocation = withWhatHolds({
    input: allocationInput,
    allocation: laid.allocation,
    withWeir: (weirId, releasableM3) => weekAllocationInput(opened(weirId, releasableM3), carried),
    laidWithWeir: gainsWithWeir(inputs, laid, opened),
  })
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
