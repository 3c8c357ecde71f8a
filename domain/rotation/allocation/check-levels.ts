import { LITRES_PER_M3, type Litres, type M3, wholeLitres, wholeLitresDown } from '../../units.ts'
import { SparePaths } from './check-paths.ts'
import type { Allocation, AllocationInput, Claim, Id } from './types.ts'

interface Raisable {
  id: Id
  byLitres: Litres
  /** It is the minimum that was not shared fairly. */
  minimum: boolean
}

/** A claim as the judge sees it, in litres; level is the highest that rounding down may have hidden. */
interface Judged {
  index: number
  claim: Claim
  given: number
  most: number
  /** The part of the minimum that the need leaves room for. */
  minimum: number
  minimumWeight: number
  weight: number
  received: number
}

/** The claims that could be given more than rounding explains, at the cost of nobody who must not pay for it. */
export function raisable(input: AllocationInput, allocation: Allocation): Raisable[] {
  const givenM3 = new Map(allocation.claims.map(({ id, allocatedM3 }) => [id, allocatedM3]))
  const judged = input.claims.map((claim, index) => judgedClaim(claim, index, givenM3.get(claim.id)!))
  const paths = new SparePaths(input, allocation)
  return [...raisableMinimums(judged, paths), ...raisableLevels(judged, paths)]
}

/** No one below the minimum may be left there while others have water above theirs, or a larger part of theirs. */
function raisableMinimums(judged: readonly Judged[], paths: SparePaths): Raisable[] {
  const below = judged.filter(({ given, minimum }) => given < minimum)
  const ratioOf = ({ given, minimumWeight }: Judged) => (given + 1) / minimumWeight
  return inClusters(below, ratioOf, ({ minimumWeight }) => minimumWeight).flatMap(({ members, level }) => {
    const { tier } = members[0]!.claim
    const keeps = judged.map((other) => {
      const least = Math.min(other.given, other.minimum)
      if (other.claim.tier < tier) return least
      return other.claim.tier > tier ? 0 : Math.min(least, Math.ceil(level * other.minimumWeight))
    })
    return tryRaising(judged, members, keeps, paths, ({ minimum, given }) => minimum - given, true)
  })
}

/** No one below the need may be left there while others of the tier stand higher, or later tiers have more than their minimum. */
function raisableLevels(judged: readonly Judged[], paths: SparePaths): Raisable[] {
  const below = judged.filter(({ given, most }) => given < most)
  const levelOf = ({ received, given, weight }: Judged) => (received + given + 1) / weight
  return inClusters(below, levelOf, ({ weight }) => weight).flatMap(({ members, level }) => {
    const { tier } = members[0]!.claim
    const keeps = judged.map((other) => {
      if (other.claim.tier < tier) return other.given
      const least = Math.min(other.given, other.minimum)
      if (other.claim.tier > tier) return least
      return Math.min(other.given, Math.max(least, Math.ceil(level * other.weight - other.received)))
    })
    return tryRaising(judged, members, keeps, paths, ({ most, given }) => most - given, false)
  })
}

function tryRaising(
  judged: readonly Judged[],
  members: readonly Judged[],
  keeps: readonly number[],
  paths: SparePaths,
  wishOf: (member: Judged) => number,
  minimum: boolean,
): Raisable[] {
  const tolerance = judged.length
  paths.startFrom(keeps)
  return members.flatMap((member) => {
    const byLitres = paths.giveMore(member.index, Math.min(wishOf(member), tolerance + 1))
    return byLitres > tolerance ? [{ id: member.claim.id, byLitres, minimum }] : []
  })
}

/** Claims of a tier that stand within two litres of one level are tried together, at the highest of them. */
function inClusters(
  claims: readonly Judged[],
  levelOf: (claim: Judged) => number,
  weightOf: (claim: Judged) => number,
): { members: Judged[]; level: number }[] {
  const sorted = claims
    .map((claim) => ({ claim, level: levelOf(claim) }))
    .sort((a, b) => a.claim.claim.tier - b.claim.claim.tier || a.level - b.level)
  const clusters: { members: Judged[]; level: number; from: number; weight: number }[] = []
  for (const { claim, level } of sorted) {
    const last = clusters.at(-1)
    const weight = Math.max(last?.weight ?? 0, weightOf(claim))
    if (last && last.members[0]!.claim.tier === claim.claim.tier && (level - last.from) * weight <= 2) {
      last.members.push(claim)
      last.level = level
      last.weight = weight
    } else clusters.push({ members: [claim], level, from: level, weight: weightOf(claim) })
  }
  return clusters
}

function judgedClaim(claim: Claim, index: number, givenM3: M3): Judged {
  const { needM3, requestedM3 = needM3, minimumM3 = 0, entitledM3, receivedM3 } = claim
  const most = wholeLitresDown(Math.min(needM3, requestedM3))
  return {
    index,
    claim,
    given: wholeLitres(givenM3),
    most,
    minimum: Math.min(most, wholeLitresDown(minimumM3)),
    minimumWeight: wholeLitresDown(minimumM3),
    weight: entitledM3 > 0 ? entitledM3 * LITRES_PER_M3 : wholeLitresDown(needM3),
    received: receivedM3 * LITRES_PER_M3,
  }
}
