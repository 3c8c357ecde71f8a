import { sum } from '../../sum.ts'
import { LITRES_PER_M3, type M3, wholeLitres } from '../../units.ts'
import { allocate } from '../allocation/allocate.ts'
import type { Allocation, AllocationInput, Claim, Id } from '../allocation/types.ts'

export type RuleName = (typeof RULE_NAMES)[number]

export interface ComparedClaim extends Claim {
  /** Shortfall of an earlier week that may be made good; it counts only under rules that look at one week alone. */
  carryOverM3?: M3
  /** 1 for the stage that suffers most from dryness; larger is hardier. Left out: hardiest. */
  stageRank?: number
}

interface RuleResult {
  rule: RuleName
  allocation: Allocation
  totalM3: M3
}

interface RuleComparison {
  rules: RuleResult[]
  /** For each name, what every rule gives and how much more or less that is than evening-out. */
  claims: { id: Id; allocatedM3: Record<RuleName, number>; differenceM3: Record<RuleName, number> }[]
}

export const RULE_NAMES = ['evening-out', 'proportional', 'equal-small-first', 'crop-stage-first'] as const

const RULES: Record<RuleName, (claims: readonly ComparedClaim[]) => Claim[]> = {
  'evening-out': (claims) => claims.map((claim) => claim),
  proportional: (claims) => claims.map(byRequest),
  'equal-small-first': (claims) => claims.map((claim) => ({ ...withCarryOver(claim), entitledM3: 1, receivedM3: 0 })),
  'crop-stage-first': byStage,
}

/**
 * The same week under four rules, on the same network and with the same first tiers and minimums:
 * evening-out: the level over the season (`allocate`).
 * proportional: every request is cut by the same fraction, as far as the network lets it.
 * equal-small-first: everyone gets the same, small requests are filled first (constrained equal awards; on a network,
 * max-min fairness: Bertsekas and Gallager, Data Networks, section 6.5).
 * crop-stage-first: within a tier, the stage that suffers most is served before the next; within a stage, proportional.
 * The last three look at one week alone, so a carry-over is added to the claim.
 */
export function compareRules(input: AllocationInput & { claims: readonly ComparedClaim[] }): RuleComparison {
  const rules = RULE_NAMES.map((rule) => resultOf(rule, input))
  const amounts = rules.map(({ rule, allocation }) => ({
    rule,
    byId: new Map(allocation.claims.map(({ id, allocatedM3 }) => [id, allocatedM3])),
  }))
  const claims = input.claims.map(({ id }) => {
    const allocatedM3 = recordOf((rule) => amounts.find((each) => each.rule === rule)!.byId.get(id)!)
    return { id, allocatedM3, differenceM3: recordOf((rule) => minus(allocatedM3[rule], allocatedM3['evening-out'])) }
  })
  return { rules, claims }
}

/** The allocation that a rule comes to: which claims, entitlements and tiers `allocate` and its judge work with. */
export function inputByRule(
  rule: RuleName,
  input: AllocationInput & { claims: readonly ComparedClaim[] },
): AllocationInput {
  return { ...input, claims: RULES[rule](input.claims) }
}

function resultOf(rule: RuleName, input: AllocationInput & { claims: readonly ComparedClaim[] }): RuleResult {
  const allocation = allocate(inputByRule(rule, input))
  const litres = sum(allocation.claims, ({ allocatedM3 }) => wholeLitres(allocatedM3))
  return { rule, allocation, totalM3: litres / LITRES_PER_M3 }
}

function withCarryOver(claim: ComparedClaim): Claim {
  const { carryOverM3 = 0, needM3, requestedM3 } = claim
  const asked = requestedM3 === undefined ? {} : { requestedM3: requestedM3 + carryOverM3 }
  return { ...claim, needM3: needM3 + carryOverM3, ...asked }
}

function byRequest(claim: ComparedClaim): Claim {
  const carried = withCarryOver(claim)
  return { ...carried, entitledM3: Math.min(carried.needM3, carried.requestedM3 ?? carried.needM3), receivedM3: 0 }
}

/** Stages become tiers within the tiers that the group has set. */
function byStage(claims: readonly ComparedClaim[]): Claim[] {
  const rank = ({ stageRank }: ComparedClaim) => stageRank ?? Number.MAX_SAFE_INTEGER
  const order = [...claims].sort((a, b) => a.tier - b.tier || rank(a) - rank(b))
  const tierOf = new Map<Id, number>()
  let tier = 0
  order.forEach((claim, index) => {
    const before = order[index - 1]
    if (before && (before.tier !== claim.tier || rank(before) !== rank(claim))) tier++
    tierOf.set(claim.id, tier)
  })
  return claims.map((claim) => ({ ...byRequest(claim), tier: tierOf.get(claim.id)! }))
}

function recordOf(value: (rule: RuleName) => number): Record<RuleName, number> {
  const entries = RULE_NAMES.map((rule) => [rule, value(rule)])
  return Object.fromEntries(entries) as Record<RuleName, number>
}

function minus(aM3: M3, bM3: M3): number {
  return (wholeLitres(aM3) - wholeLitres(bM3)) / LITRES_PER_M3
}
