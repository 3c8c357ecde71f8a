import type { Id } from '../../id.ts'
import { type M3, toLitreM3 } from '../../units.ts'
import type { KnownParts } from '../timetable/known.ts'
import { timetable } from '../timetable/timetable.ts'
import type { TimetableInput, TimetableResult } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'
import { plotOfClaim } from './claims.ts'
import { type LaidWeek, laidWeek } from './laid-week.ts'
import type { Carried } from './limits.ts'

/** A trial looks at so much of the plans that a week to be lived in looks at. Common practice, no source. */
const TRIAL_EFFORT = 0.1

/**
 * Whether a claim's plot gets more in m3 once its weir is opened and the week laid anew: more water at a weir does not always find its
 * hours, and what plots are due follows from it. Each weir is laid once, when it is asked for, and only pumps that serve plots of that weir.
 */
export function gainsWithWeir(
  inputs: WeekInputs,
  { laid, opened, known }: { laid: LaidWeek; opened: Opened; known: KnownParts },
): (weirId: Id<'weir'>, releasableM3: M3, claimId: string) => boolean {
  const now = plotVolumesM3(laid)
  const lay = onlyChanged(laid, known)
  const pumpsNear = pumpsByWeir(inputs)
  const tried = new Map<string, Map<string, M3>>()
  const volumesWith = (weirId: Id<'weir'>, releasableM3: M3) => {
    const near = pumpsNear(weirId)
    return plotVolumesM3(
      laidWeek(opened(weirId, releasableM3), lay(near), carriedElsewhere(inputs, laid.carried, near)),
    )
  }
  return (weirId, releasableM3, claimId) => {
    const then = tried.get(weirId) ?? volumesWith(weirId, releasableM3)
    tried.set(weirId, then)
    const plotId = plotOfClaim(claimId)
    return (then.get(plotId) ?? 0) > (now.get(plotId) ?? 0)
  }
}

/** The week with a weir that gives so much. */
type Opened = (weirId: Id<'weir'>, releasableM3: M3) => WeekInputs

/** What each plot's turns carry, m3. */
function plotVolumesM3({ allocation, timetable }: LaidWeek): Map<string, M3> {
  const volumes = new Map<string, M3>()
  const add = (plotId: string, volumeM3: M3) => volumes.set(plotId, toLitreM3((volumes.get(plotId) ?? 0) + volumeM3))
  for (const { id, allocatedM3 } of allocation.claims) add(plotOfClaim(id), allocatedM3)
  for (const { claimId, volumeM3 } of timetable.unplacedM3) add(claimId, -volumeM3)
  return volumes
}

/** The pumps of all plots that can draw from a weir: nobody else asks what more water there would bring. */
function pumpsByWeir({ plots, outlets, pumps }: WeekInputs): (weirId: Id<'weir'>) => ReadonlySet<string> {
  const pumpOf = new Map(outlets.map(({ id, pumpId }) => [id, pumpId]))
  const weirOf = new Map(pumps.map(({ id, weirId }) => [id, weirId]))
  const pumpsOf = plots.map(({ outletIds }) => outletIds.flatMap((id) => pumpOf.get(id) ?? []))
  return (weirId) => new Set(pumpsOf.filter((own) => own.some((id) => weirOf.get(id) === weirId)).flat())
}

/** What had no room in the week, but for these pumps and the plots that draw from nothing else: they are laid from the beginning. */
function carriedElsewhere(
  { plots, outlets, tanks = [] }: WeekInputs,
  { pumpM3, tankM3 = {}, claimM3 }: Carried,
  near: ReadonlySet<string>,
): Carried {
  const isNear = new Map(outlets.map(({ id, pumpId }) => [id, near.has(pumpId)]))
  const nearTanks = new Set(tanks.filter(({ pumpId }) => near.has(pumpId)).map(({ id }) => id))
  const nearPlots = new Set(
    plots.filter(({ outletIds }) => outletIds.every((id) => isNear.get(id))).map(({ id }) => id),
  )
  const but = (some: ReadonlySet<string>, of: Record<string, M3>) =>
    Object.fromEntries(Object.entries(of).filter(([id]) => !some.has(id)))
  return { pumpM3: but(near, pumpM3), tankM3: but(nearTanks, tankM3), claimM3: but(nearPlots, claimM3) }
}

/** Lays those of some pumps that have other work than before; pumps share nothing, so the others stay as they were. */
function onlyChanged({ timetableInput: before, timetable: stands }: LaidWeek, known: KnownParts) {
  const pumpOf = new Map(before.outlets.map(({ id, pumpId }) => [id, pumpId]))
  const workBefore = workByPump(before, pumpOf)
  return (near: ReadonlySet<string>) =>
    (input: TimetableInput): TimetableResult => {
      const work = workByPump(input, pumpOf)
      const changed = new Set([...near].filter((id) => work.get(id) !== workBefore.get(id)))
      const isIn = (some: ReadonlySet<string>, outletId: Id<'outlet'>) => some.has(pumpOf.get(outletId)!)
      const laid = timetable(
        { ...input, allocations: input.allocations.filter(({ outletId }) => isIn(changed, outletId)) },
        { effort: TRIAL_EFFORT, known },
      )
      const kept = <T extends { outletId: Id<'outlet'> }>(all: readonly T[]) =>
        all.filter(({ outletId }) => !isIn(changed, outletId))
      return {
        turns: [...laid.turns, ...kept(stands.turns)],
        unplacedM3: [...laid.unplacedM3, ...kept(stands.unplacedM3).filter(({ outletId }) => isIn(near, outletId))],
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
