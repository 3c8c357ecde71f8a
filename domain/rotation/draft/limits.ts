import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { downToLitreM3, type M3, toLitreM3 } from '../../units.ts'
import type { AllocationInput, ClaimAllocation, OutletWeek, TankWeek } from '../allocation/types.ts'
import { type ComparedClaim, inputByRule, type RuleName } from '../rule/compare.ts'
import type { TimetableInput, TimetableRules } from '../timetable/types.ts'
import type { WeekClosure, WeekInputs, WeekOutlet, WeekPump } from '../week/inputs.ts'
import { bookableM3, drinkingClaims, plotClaims, plotOfClaim } from './claims.ts'
import { gravityOutletM3, leavesGravity, standingM3, tankTurnover, tankWorksOf } from './tanks.ts'

/** Turns are at least this long, start on full five minutes, and leave time to walk to the next valve. Common practice, no source. */
export const TURN_RULES = { minTurnMinutes: 10, changeoverMinutes: 5, gridMinutes: 5 }

/** The week's turns by the group's own lengths, where it has set any. */
export function turnRules({ turnFacts }: Pick<WeekInputs, 'turnFacts'>): TimetableRules & typeof TURN_RULES {
  return { ...TURN_RULES, ...turnFacts?.lengths }
}

/** Drinking water is fetched at the weir itself, so only the weir limits it. */
const handId = (weirId: Id<'weir'>) => `hand-${weirId}`

/** The rule that shares the week: the one picked for it, or evening-out over the season. */
export function ruleOfWeek({ choice }: Pick<WeekInputs, 'choice'>): RuleName {
  return choice?.rule ?? 'evening-out'
}

/** The week as the allocation takes it, by the rule that shares it. */
export function weekAllocationInput(inputs: WeekInputs, carried: Carried): AllocationInput {
  return inputByRule(ruleOfWeek(inputs), seasonAllocationInput(inputs, carried))
}

/** Needs, entitlements and limits of the week before any rule for one week changes the claims. */
export function seasonAllocationInput(
  inputs: WeekInputs,
  carried: Carried,
): AllocationInput & { claims: readonly ComparedClaim[] } {
  const served = inputs.weirs.map((weir) => ({
    id: weir.id,
    releasableM3: downToLitreM3(bookableM3(inputs, weir)),
    ...(weir.coverDays === undefined ? {} : { coverDays: weir.coverDays }),
  }))
  const hours = hoursOf(inputs)
  return {
    weirs: served,
    pumps: [
      ...hours.pumps.map((pump) => upTo(pump, carried.pumpM3[pump.id])),
      ...served.map((weir) => ({ id: handId(weir.id), weirId: weir.id, weekM3: weir.releasableM3 })),
    ],
    ...(hours.tanks.length > 0 ? { tanks: hours.tanks.map((tank) => upTo(tank, carried.tankM3?.[tank.id])) } : {}),
    outlets: [
      ...hours.outlets,
      ...served.map((weir) => ({ id: handId(weir.id), pumpId: handId(weir.id), weekM3: weir.releasableM3 })),
    ],
    claims: [...drinkingClaims(inputs, handId), ...plotClaims(inputs, carried.claimM3)],
  }
}

const hoursKnown = new WeakMap<WeekInputs, ReturnType<typeof reckonHours>>()

/** What pumps, tanks and outlets carry in all their hours: the same for every round of one week. */
function hoursOf(inputs: WeekInputs) {
  const known = hoursKnown.get(inputs) ?? reckonHours(inputs)
  hoursKnown.set(inputs, known)
  return known
}

function reckonHours(inputs: WeekInputs) {
  return {
    pumps: inputs.pumps.map((pump) => pumpWeek(inputs, pump)),
    // Gravity turns take what the pump has lifted: the tank is one limit more on the way of that water.
    tanks: (inputs.tanks ?? []).map((tank): TankWeek => tankTurnover(inputs, tank)),
    outlets: inputs.outlets.map((outlet) => outletWeek(inputs, outlet)),
  }
}

/** Where the hours were found to carry less than they could, only that. */
function upTo<T extends { weekM3: M3 }>(one: T, carriedM3 = Number.POSITIVE_INFINITY): T {
  return { ...one, weekM3: downToLitreM3(Math.min(one.weekM3, carriedM3)) }
}

function pumpWeek(inputs: WeekInputs, pump: WeekPump) {
  const liftsM3 = sum(openDays(inputs, { pumpId: pump.id }).map((day) => sum(pump.flowM3PerHByDay[day] ?? [])))
  return { id: pump.id, weirId: pump.weirId, weekM3: liftsM3 + standingM3(inputs, pump.id) } // what stands has been lifted already
}

function outletWeek(inputs: WeekInputs, outlet: WeekOutlet): OutletWeek {
  const { id, pumpId, tankId } = outlet
  const days = openDays(inputs, { pumpId, outletId: id, tankId })
  if (tankId) {
    return {
      id,
      pumpId,
      tankId,
      weekM3: downToLitreM3(gravityOutletM3(inputs, outlet, { days, rules: turnRules(inputs) })),
    }
  }
  const pump = inputs.pumps.find((one) => one.id === pumpId)
  const hours = pump ? days.flatMap((day) => pump.flowM3PerHByDay[day] ?? []) : []
  const weekM3 = sum(hours.map((flowM3PerH) => Math.min(flowM3PerH, outlet.flowM3PerH)))
  return { id, pumpId, weekM3: downToLitreM3(weekM3) }
}

/** Days on which a pump is open, or one of its outlets. */
function openDays(
  inputs: WeekInputs,
  { tankId, ...at }: { pumpId: Id<'pump'>; outletId?: Id<'outlet'>; tankId?: Id<'tank'> | undefined },
): string[] {
  const closures = tankId ? inputs.closures.filter((closure) => !leavesGravity(inputs, closure)) : inputs.closures
  return inputs.days.filter((on) => !closures.some((closure) => closes(closure, { ...at, on })))
}

/** True when a closure shuts a pump on a day, or the outlet that is named with it. */
export function closes(
  closure: WeekClosure,
  { pumpId, outletId, on }: { pumpId: Id<'pump'>; outletId?: Id<'outlet'> | undefined; on: string },
): boolean {
  if (closure.on !== on || (closure.pumpId ?? pumpId) !== pumpId) return false
  return closure.outletId === undefined || closure.outletId === outletId
}

/** What the claims of the allocation become as work for the week's hours. */
export function weekTimetableInput(inputs: WeekInputs, allocated: readonly ClaimAllocation[]): TimetableInput {
  const claims = new Map(inputs.claims.map((claim) => [claim.plotId, claim]))
  return {
    ...tankWorksOf(inputs),
    allocations: [...plotVolumes(allocated)].flatMap(([plotId, byOutlet]) => {
      const claim = claims.get(plotId)
      if (!claim) return []
      const watered = [...byOutlet].filter(([, volumeM3]) => volumeM3 > 0)
      return watered.map(([outletId, volumeM3]) => ({
        claimId: plotId,
        plotId,
        outletId,
        volumeM3,
        latestOn: claim.latestOn ?? undefined,
        ...(claim.turns && claim.turns.count > 1
          ? { spaced: { turns: claim.turns.count, firstPart: claim.turns.firstPart } }
          : {}),
      }))
    }),
    together: inputs.pumps.map(({ id, outletsAtOnce }) => ({ pumpId: id, atMost: outletsAtOnce })),
    rules: turnRules(inputs),
  }
}

/** A plot takes its water as one, whichever of its classes it was given for. */
function plotVolumes(allocated: readonly ClaimAllocation[]): Map<string, Map<string, number>> {
  const volumes = new Map<string, Map<string, number>>()
  for (const { id, byOutletM3 } of allocated) {
    const byOutlet = volumes.get(plotOfClaim(id)) ?? new Map<string, number>()
    for (const [outletId, volumeM3] of Object.entries(byOutletM3)) {
      byOutlet.set(outletId, toLitreM3((byOutlet.get(outletId) ?? 0) + volumeM3))
    }
    volumes.set(plotOfClaim(id), byOutlet)
  }
  return volumes
}

/** What the hours were found to carry, per pump, per tank and per claim. */
export interface Carried {
  pumpM3: Record<string, number>
  tankM3?: Record<string, number>
  claimM3: Record<string, number>
}
