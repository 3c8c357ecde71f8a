import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { downToLitreM3, type M3 } from '../../units.ts'
import type { Claim } from '../allocation/types.ts'
import { capOf, DRINKING_TIER, isProtected, PROTECTED_TIER, tierOf } from '../rule/classes.ts'
import type { ComparedClaim } from '../rule/compare.ts'
import { entitlementMix, type WeekRule } from '../rule/types.ts'
import { entitlements } from '../share/entitlements.ts'
import type { ClaimPart, WeekClaim, WeekInputs, WeekPlot, WeekWeir } from '../week/inputs.ts'

/** The claim of a weir's people and animals, the first tier of the allocation. */
export function drinkingClaimId(weirId: Id<'weir'>): string {
  return `drinking-${weirId}`
}

/** A plot with crops of one class has one claim under its own id; each further class has a claim of its own. */
export function partClaimId(plotId: Id<'plot'>, at: number): string {
  return at === 0 ? plotId : `${plotId}/${at + 1}`
}

/** The plot of a claim, or the claim's own id where it is drinking water. */
export function plotOfClaim(claimId: string): string {
  return claimId.split('/')[0]!
}

/** What a plan may give out of a weir: the spare part stays unbooked, but is never taken from drinking water. */
export function bookableM3({ rule }: Pick<WeekInputs, 'rule'>, weir: WeekWeir): number {
  return Math.max(Math.min(weir.releasableM3, weir.drinkingM3), weir.releasableM3 * (1 - rule.sparePart))
}

/** Drinking water as its first claims; as a minimum too, so that no minimum of a class comes before it. */
export function drinkingClaims(inputs: WeekInputs, outletIdOf: (weirId: Id<'weir'>) => string): Claim[] {
  return inputs.weirs.map((weir) => {
    const drinkingM3 = downToLitreM3(weir.drinkingM3)
    return {
      id: drinkingClaimId(weir.id),
      outletIds: [outletIdOf(weir.id)],
      needM3: drinkingM3,
      entitledM3: drinkingM3,
      receivedM3: 0,
      tier: DRINKING_TIER,
      minimumM3: drinkingM3,
    }
  })
}

/** The claims of all plots, one for each class of crops on them; `hoursM3` is what the hours were found to carry. */
export function plotClaims(inputs: WeekInputs, hoursM3: Record<string, number>): ComparedClaim[] {
  const ofWeek = weekEntitlements(inputs)
  const plots = new Map(inputs.plots.map((plot) => [plot.id, plot]))
  return inputs.claims.flatMap((claim) => {
    const past = sum(inputs.pastWeeks, (week) => week.entitledM3[claim.plotId] ?? 0)
    const season = {
      entitledM3: past + (ofWeek.get(claim.plotId) ?? 0),
      receivedM3: inputs.receivedM3[claim.plotId] ?? 0,
    }
    const outletIds = plots.get(claim.plotId)?.outletIds ?? []
    return claimsOfPlot(inputs, claim, { season, outletIds, hoursM3: hoursM3[claim.plotId] })
  })
}

/** Request and hours are used up by the parts in the order in which they are served. */
function claimsOfPlot(
  inputs: WeekInputs,
  claim: WeekClaim,
  {
    season,
    outletIds,
    hoursM3 = Number.POSITIVE_INFINITY,
  }: { season: { entitledM3: M3; receivedM3: M3 }; outletIds: readonly Id<'outlet'>[]; hoursM3: M3 | undefined },
): ComparedClaim[] {
  const { plotId, requestedM3 } = claim
  const parts = servedParts(inputs, claim)
  const countedM3 = sum(parts, (part) => part.countedM3)
  let askedLeft = requestedM3 ?? Number.POSITIVE_INFINITY
  let hoursLeft = hoursM3
  return parts.map((part, at) => {
    const needM3 = downToLitreM3(Math.min(part.countedM3, hoursLeft))
    const asked = Math.min(askedLeft, needM3)
    const carryOverM3 = at === 0 ? Math.min(inputs.carryOverM3[plotId] ?? 0, hoursLeft - needM3) : 0
    askedLeft -= asked
    hoursLeft -= needM3 + carryOverM3
    const shareOfPlot = countedM3 > 0 ? part.countedM3 / countedM3 : at === 0 ? 1 : 0
    return {
      id: partClaimId(plotId, at),
      outletIds,
      needM3,
      ...(requestedM3 !== null && asked < needM3 ? { requestedM3: downToLitreM3(asked) } : {}),
      entitledM3: season.entitledM3 * shareOfPlot,
      receivedM3: season.receivedM3 * shareOfPlot,
      tier: part.tier,
      minimumM3: downToLitreM3(part.minimumM3),
      ...(carryOverM3 > 0 ? { carryOverM3: downToLitreM3(carryOverM3) } : {}),
      ...(part.stageRank === null ? {} : { stageRank: part.stageRank }),
    }
  })
}

export interface ServedPart extends ClaimPart {
  tier: number
  /** The need that counts: less than the need where a declared stage caps the class. */
  countedM3: M3
  minimumM3: M3
}

/** The parts of a claim in the order in which the rule serves them. A protected plot is served whole. */
export function servedParts({ rule, drought }: WeekInputs, { plotId, parts }: WeekClaim): ServedPart[] {
  const whole = isProtected(rule.protectedPlots, plotId, drought)
  return parts
    .map((part): ServedPart => {
      if (whole) return { ...part, tier: PROTECTED_TIER, countedM3: part.needM3, minimumM3: part.needM3 }
      const minimumPart = rule.classes.find((one) => one.class === part.class)?.minimumPart ?? 0
      const countedM3 = part.needM3 * capOf(drought, part.class)
      const minimumM3 = Math.min(countedM3, minimumPart * part.needM3)
      return { ...part, tier: tierOf(rule.classes, part.class), countedM3, minimumM3 }
    })
    .sort((a, b) => a.tier - b.tier)
}

/** The need of a claim that counts this week, under a declared stage. */
function countedNeedM3(inputs: WeekInputs, claim: WeekClaim): number {
  return sum(servedParts(inputs, claim), ({ countedM3 }) => countedM3)
}

const entitled = new WeakMap<WeekInputs, ReadonlyMap<string, number>>()

/** What each plot is entitled to of this one week's water, after drinking water and the spare part; worked out once for a week's input. */
export function weekEntitlements(inputs: WeekInputs): ReadonlyMap<string, number> {
  const known = entitled.get(inputs) ?? reckonEntitlements(inputs)
  entitled.set(inputs, known)
  return known
}

function reckonEntitlements(inputs: WeekInputs): ReadonlyMap<string, number> {
  const { weekStartOn, rule, plots, weirs, claims } = inputs
  const plotIds = new Set(plots.map(({ id }) => id))
  const known = claims.filter(({ plotId }) => plotIds.has(plotId))
  const weirOfPump = new Map(inputs.pumps.map(({ id, weirId }) => [id, weirId]))
  const weirOf = new Map(inputs.outlets.map(({ id, pumpId }) => [id, weirOfPump.get(pumpId)]))
  const released = weirs.map((weir) => [weir.id, Math.max(0, bookableM3(inputs, weir) - weir.drinkingM3)])
  const result = entitlements({
    plots: plots.map(({ id, areaM2, persons, outletIds }) => {
      return { id, areaM2, persons, weirIds: outletIds.flatMap((outletId) => weirOf.get(outletId) ?? []) }
    }),
    shares: plots.map(({ id, shares }) => ({ plotId: id, shares, fromOn: weekStartOn })),
    rule: entitlementRule(rule),
    weeks:
      weirs.length === 0
        ? []
        : [
            {
              weekStartOn,
              releasedM3ByWeir: Object.fromEntries(released),
              claims: known.map((claim) => ({ plotId: claim.plotId, needM3: countedNeedM3(inputs, claim) })),
            },
          ],
  })
  return new Map(result.map(({ plotId, entitledM3 }) => [plotId, entitledM3]))
}

/** The week's rule as the mix of weights that entitlements are reckoned by, for the group and for each weir with a mix of its own. */
export function entitlementRule(rule: WeekRule) {
  const byWeir = Object.entries(rule.byWeir).map(([weirId, mix]) => [weirId, entitlementMix(mix)])
  return { ...entitlementMix(rule), byWeir: Object.fromEntries(byWeir) }
}

interface WaterWays {
  outlets: readonly { id: Id<'outlet'>; pumpId: Id<'pump'> }[]
  pumps: readonly { id: Id<'pump'>; weirId: Id<'weir'> }[]
}

/** The weirs whose water a plot's outlets can bring. */
export function weirsOf({ outlets, pumps }: WaterWays, { outletIds }: Pick<WeekPlot, 'outletIds'>): string[] {
  const pumpIds = outlets.filter((outlet) => outletIds.includes(outlet.id)).map((outlet) => outlet.pumpId)
  return [...new Set(pumps.filter((pump) => pumpIds.includes(pump.id)).map((pump) => pump.weirId))]
}
