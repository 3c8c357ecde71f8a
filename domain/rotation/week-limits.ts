import type { AllocationInput, Claim, ClaimAllocation, OutletWeek } from './allocation-types.ts'
import { type Entitlement, entitlements } from './entitlements.ts'
import type { TimetableInput } from './timetable-types.ts'
import type { WeekInputs, WeekOutlet, WeekPlot, WeekPump, WeekRule } from './week-inputs.ts'
import { type Carried, drinkingClaimId } from './week-plan.ts'

/** Turns are at least this long, start on full five minutes, and leave time to walk to the next valve. Common practice, no source. */
export const TURN_RULES = { minTurnMinutes: 10, changeoverMinutes: 5, gridMinutes: 5 }

const DRINKING_TIER = 0
const PLOT_TIER = 1

/** Drinking water is fetched at the weir itself, so only the weir limits it. */
const handId = (weirId: string) => `hand-${weirId}`

/** Needs, entitlements and limits of the week as the allocation takes them. */
export function weekAllocationInput(inputs: WeekInputs, carried: Carried): AllocationInput {
  const served = inputs.weirs.map((weir) => ({ ...weir, releasableM3: wholeLitres(weir.releasableM3) }))
  return {
    weirs: served.map(({ id, releasableM3 }) => ({ id, releasableM3 })),
    pumps: [
      ...inputs.pumps.map((pump) => pumpWeek(inputs, pump, carried)),
      ...served.map((weir) => ({ id: handId(weir.id), weirId: weir.id, weekM3: weir.releasableM3 })),
    ],
    outlets: [
      ...inputs.outlets.map((outlet) => outletWeek(inputs, outlet)),
      ...served.map((weir) => ({ id: handId(weir.id), pumpId: handId(weir.id), weekM3: weir.releasableM3 })),
    ],
    claims: [...drinkingClaims(inputs), ...plotClaims(inputs, carried)],
  }
}

function pumpWeek(inputs: WeekInputs, pump: WeekPump, carried: Carried) {
  const weekM3 = total(openDays(inputs, pump.id).map((day) => total(pump.flowM3PerHByDay[day] ?? [])))
  return { id: pump.id, weirId: pump.weirId, weekM3: wholeLitres(Math.min(weekM3, carried.pumpM3[pump.id] ?? weekM3)) }
}

function outletWeek(inputs: WeekInputs, outlet: WeekOutlet): OutletWeek {
  const pump = inputs.pumps.find((one) => one.id === outlet.pumpId)
  const hours = pump ? openDays(inputs, pump.id).flatMap((day) => pump.flowM3PerHByDay[day] ?? []) : []
  const weekM3 = total(hours.map((flowM3PerH) => Math.min(flowM3PerH, outlet.flowM3PerH)))
  return { id: outlet.id, pumpId: outlet.pumpId, weekM3: wholeLitres(weekM3) }
}

function openDays(inputs: WeekInputs, pumpId: string): string[] {
  const closed = inputs.closures.filter((closure) => closure.pumpId === null || closure.pumpId === pumpId)
  return inputs.days.filter((day) => !closed.some((closure) => closure.on === day))
}

function drinkingClaims(inputs: WeekInputs): Claim[] {
  return inputs.weirs.map((weir) => ({
    id: drinkingClaimId(weir.id),
    outletIds: [handId(weir.id)],
    needM3: wholeLitres(weir.drinkingM3),
    entitledM3: wholeLitres(weir.drinkingM3),
    receivedM3: 0,
    tier: DRINKING_TIER,
  }))
}

function plotClaims(inputs: WeekInputs, carried: Carried): Claim[] {
  const entitled = new Map(seasonEntitlements(inputs).map((one) => [one.plotId, one.entitledM3]))
  return inputs.claims.map((claim) => ({
    id: claim.plotId,
    outletIds: inputs.plots.find((plot) => plot.id === claim.plotId)?.outletIds ?? [],
    needM3: wholeLitres(Math.min(claim.needM3.likely, carried.claimM3[claim.plotId] ?? Infinity)),
    requestedM3: claim.requestedM3 === null ? undefined : wholeLitres(claim.requestedM3),
    entitledM3: entitled.get(claim.plotId) ?? 0,
    receivedM3: inputs.receivedM3[claim.plotId] ?? 0,
    tier: PLOT_TIER,
  }))
}

/** What each plot is entitled to, from the weeks so far and the coming one, drinking water set aside first. */
export function seasonEntitlements(inputs: WeekInputs): Entitlement[] {
  const coming = {
    weekStartOn: inputs.weekStartOn,
    rule: inputs.rule,
    releasedM3ByWeir: Object.fromEntries(
      inputs.weirs.map((weir) => [weir.id, Math.max(0, weir.releasableM3 - weir.drinkingM3)]),
    ),
    claims: inputs.claims.map(({ plotId, needM3 }) => ({ plotId, needM3: needM3.likely })),
  }
  return entitlements({
    plots: inputs.plots.map((plot) => ({ id: plot.id, areaM2: plot.areaM2, weirIds: weirsOf(inputs, plot) })),
    shares: inputs.plots.map(({ id, shares }) => ({ plotId: id, shares, fromOn: '0001-01-01' })),
    rule: mixOf(inputs.rule),
    weeks: [...inputs.pastWeeks, coming].map((week) => ({
      ...week,
      rule: mixOf(week.rule),
      claims: week.claims.filter((claim) => inputs.plots.some((plot) => plot.id === claim.plotId)),
    })),
  })
}

function mixOf({ equalWeight, areaWeight, shareWeight }: Pick<WeekRule, 'equalWeight' | 'areaWeight' | 'shareWeight'>) {
  return { weights: { equal: equalWeight, area: areaWeight, share: shareWeight } }
}

/** The weirs whose water a plot's outlets can bring. */
function weirsOf(inputs: WeekInputs, plot: WeekPlot): string[] {
  const pumpIds = inputs.outlets.filter((outlet) => plot.outletIds.includes(outlet.id)).map((outlet) => outlet.pumpId)
  return [...new Set(inputs.pumps.filter((pump) => pumpIds.includes(pump.id)).map((pump) => pump.weirId))]
}

/** What the claims of the allocation become as work for the week's hours. */
export function weekTimetableInput(inputs: WeekInputs, allocated: readonly ClaimAllocation[]): TimetableInput {
  const claims = new Map(inputs.claims.map((claim) => [claim.plotId, claim]))
  return {
    week: { startOn: inputs.weekStartOn, days: inputs.days },
    allocations: allocated
      .filter((claim) => claims.has(claim.id))
      .flatMap((claim) =>
        Object.entries(claim.byOutletM3)
          .filter(([, volumeM3]) => volumeM3 > 0)
          .map(([outletId, volumeM3]) => ({
            claimId: claim.id,
            plotId: claim.id,
            outletId,
            volumeM3,
            latestOn: claims.get(claim.id)?.latestOn ?? undefined,
          })),
      ),
    pumps: inputs.pumps.map(({ id, flowM3PerHByDay }) => ({ id, flowM3PerHByDay })),
    outlets: inputs.outlets.map(({ id, pumpId, flowM3PerH }) => ({ id, pumpId, flowM3PerH })),
    unavailable: inputs.closures.map(({ on, pumpId }) => (pumpId === null ? { on } : { on, pumpId })),
    together: inputs.pumps.map(({ id, outletsAtOnce }) => ({ pumpId: id, atMost: outletsAtOnce })),
    rules: TURN_RULES,
  }
}

function total(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0)
}

function wholeLitres(volumeM3: number): number {
  return Math.floor(volumeM3 * 1000 + 1e-6) / 1000
}
