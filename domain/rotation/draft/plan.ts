import type { Id } from '../../id.ts'
import { type M3, toLitreM3 } from '../../units.ts'
import { withWhatHolds } from '../allocation/what-holds.ts'
import type { KnownParts } from '../timetable/known.ts'
import type { UnplacedVolume } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'
import type { PlannedWeek } from '../week/planned-week.ts'
import { drinkingClaimId } from './claims.ts'
import { hoursOfWeek, type LaidWeek, laidWeek, layingOnce } from './laid-week.ts'
import { weekAllocationInput } from './limits.ts'
import { plannedShares } from './planned-shares.ts'
import { gainsWithWeir } from './weir-trial.ts'

export type { WeekInputs } from '../week/inputs.ts'
export type { PlannedShare } from '../week/planned-week.ts'

/**
 * The whole week in one pure step: allocation, then turns by volume; volume that finds no hour becomes a limit and the
 * allocation is run again, so that water which one plot cannot take goes to the others. Last it is told what holds each share.
 */
export function planWeek(inputs: WeekInputs, knownOf: KnownOf = () => new Map()): PlannedWeek {
  const known = knownOf(JSON.stringify(hoursOfWeek(inputs, [])))
  return plannedWeek(inputs, laidWeek(inputs, layingOnce(known)), known)
}

/**
 * What was laid before in a week of the same hours, by these written out: pumps, outlets, rules and people's hours, all but the volumes. A pump with
 * the same work gets the same turns, so that whoever plans a week again lays only those whose work is another.
 */
type KnownOf = (hours: string) => KnownParts

function plannedWeek(inputs: WeekInputs, laid: LaidWeek, parts: KnownParts): PlannedWeek {
  const { allocationInput, carried, timetable } = laid
  const weeks = new Map<string, WeekInputs>()
  const opened = (weirId: Id<'weir'>, releasableM3: M3): WeekInputs => {
    const week = weeks.get(weirId) ?? {
      ...inputs,
      weirs: inputs.weirs.map((weir) => (weir.id === weirId ? { ...weir, releasableM3 } : weir)),
    }
    weeks.set(weirId, week)
    return week
  }
  const allocation = withWhatHolds({
    input: allocationInput,
    allocation: laid.allocation,
    withWeir: (weirId, releasableM3) => weekAllocationInput(opened(weirId, releasableM3), carried),
    laidWithWeir: gainsWithWeir(inputs, { laid, opened, known: parts }),
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
