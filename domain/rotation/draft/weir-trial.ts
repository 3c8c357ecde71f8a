import type { Id } from '../../id.ts'
import { type M3, toLitreM3 } from '../../units.ts'
import type { KnownParts } from '../timetable/direct-first.ts'
import { timetable } from '../timetable/timetable.ts'
import type { TimetableInput, TimetableResult } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'
import { plotOfClaim } from './claims.ts'
import { type LaidWeek, laidWeek } from './laid-week.ts'

/** A trial looks at so much of the plans that a week to be lived in looks at. Common practice, no source. */
const TRIAL_EFFORT = 0.1

/**
 * Whether a claim's plot gets more in m3 once its weir is opened and the week laid anew: more water at a weir does not always find its
 * hours, and what plots are due follows from it. Each weir is laid once, when it is asked for, and only the pumps whose work changes.
 */
export function gainsWithWeir(
  laid: LaidWeek,
  opened: (weirId: Id<'weir'>, releasableM3: M3) => WeekInputs,
): (weirId: Id<'weir'>, releasableM3: M3, claimId: string) => boolean {
  const now = plotVolumesM3(laid)
  const lay = onlyChanged(laid)
  const tried = new Map<string, Map<string, M3>>()
  return (weirId, releasableM3, claimId) => {
    const then = tried.get(weirId) ?? plotVolumesM3(laidWeek(opened(weirId, releasableM3), lay))
    tried.set(weirId, then)
    const plotId = plotOfClaim(claimId)
    return (then.get(plotId) ?? 0) > (now.get(plotId) ?? 0)
  }
}

/** What each plot's turns carry, m3. */
function plotVolumesM3({ allocation, timetable }: LaidWeek): Map<string, M3> {
  const volumes = new Map<string, M3>()
  const add = (plotId: string, volumeM3: M3) => volumes.set(plotId, toLitreM3((volumes.get(plotId) ?? 0) + volumeM3))
  for (const { id, allocatedM3 } of allocation.claims) add(plotOfClaim(id), allocatedM3)
  for (const { claimId, volumeM3 } of timetable.unplacedM3) add(claimId, -volumeM3)
  return volumes
}

/** Lays the pumps that have other work than before; pumps share nothing, so the others stay as they were. */
function onlyChanged({ timetableInput: before, timetable: stands }: LaidWeek) {
  const pumpOf = new Map(before.outlets.map(({ id, pumpId }) => [id, pumpId]))
  const workBefore = workByPump(before, pumpOf)
  const known: KnownParts = new Map()
  return (input: TimetableInput): TimetableResult => {
    const work = workByPump(input, pumpOf)
    const changed = new Set([...work.keys(), ...workBefore.keys()].filter((id) => work.get(id) !== workBefore.get(id)))
    const isKept = ({ outletId }: { outletId: Id<'outlet'> }) => !changed.has(pumpOf.get(outletId)!)
    const laid = timetable(
      { ...input, allocations: input.allocations.filter((one) => !isKept(one)) },
      { effort: TRIAL_EFFORT, known },
    )
    return {
      turns: [...laid.turns, ...stands.turns.filter(isKept)],
      unplacedM3: [...laid.unplacedM3, ...stands.unplacedM3.filter(isKept)],
      notes: laid.notes,
    }
  }
}

/** The volumes of each pump's outlets as one text. */
function workByPump({ allocations }: TimetableInput, pumpOf: ReadonlyMap<string, string>): Map<string, string> {
  const work = new Map<string, string>()
  for (const { claimId, outletId, volumeM3 } of allocations) {
    const pumpId = pumpOf.get(outletId)!
    work.set(pumpId, `${work.get(pumpId) ?? ''}${claimId} ${outletId} ${volumeM3};`)
  }
  return work
}
