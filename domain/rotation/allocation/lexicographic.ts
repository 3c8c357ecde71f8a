import { FlowNetwork } from './flow-network.ts'
import { bindingLimits, type Limit, type Part, splitPart, wholePart, yieldOf } from './parts.ts'
import { type FilledLevel, type Filling, fillTo } from './water-filling.ts'

export interface Shared {
  amount: number
  /** The level that the claim rose to with others, as a fraction; null where it stands at its floor or ceiling. */
  risenTo: { numerator: number; denominator: number } | null
  /** Indices of the limits that hold it there; empty where its own ceiling does. */
  heldBy: number[]
}

/**
 * Lexicographic maximum of the levels (received + amount) / weight, floor <= amount <= ceiling, on a forest of limits.
 *
 * The amounts that a network can serve form a polymatroid (Megiddo 1974, Mathematical Programming 7:97-107), and the
 * maximum is found by splitting it: level all claims as if there were one source; where some cut of the network cannot
 * carry that, the claims behind the most overdrawn cut take exactly what the cut lets through and the rest share what
 * remains, each part on its own (Fujishige 1980, Mathematics of Operations Research 5:186-196; Groenevelt 1991,
 * European Journal of Operational Research 54:227-236). At most twice as many steps as claims, all in whole numbers:
 * no tolerance. Only the final amount is rounded, down to a whole unit.
 */
export function shareLexicographically({
  fillings,
  waysOfGroup,
  limits,
}: {
  fillings: readonly Filling[]
  waysOfGroup: readonly (readonly number[])[]
  limits: readonly Limit[]
}): Map<Filling, Shared> {
  const shared = new Map<Filling, Shared>()
  const waiting = [wholePart({ fillings, waysOfGroup, limits })]
  for (let part = waiting.pop(); part; part = waiting.pop()) {
    const level = commonLevel(part)
    const overdrawn = overdrawnNodes(part, level)
    if (overdrawn?.groups.every((behind) => behind)) throw new Error('a cut that holds everyone back splits nothing')
    if (overdrawn) waiting.push(...splitPart(part, overdrawn))
    else settle(part, level, shared)
  }
  return shared
}

/** The level at which the part uses all that its limits let through, were there no other limit; null when all can be filled. */
function commonLevel(part: Part): FilledLevel | null {
  let wanted = 0
  for (const filling of part.fillings) wanted += filling.ceiling
  const available = yieldOf(part)
  return wanted <= available ? null : fillTo(available, part.fillings, part.turns)
}

/** Tries the level on the network; null when it carries it, otherwise which groups and limits lie behind the most overdrawn cut. */
function overdrawnNodes(part: Part, level: FilledLevel | null): { groups: boolean[]; limits: boolean[] } | null {
  const demands = scaledDemands(part, level)
  const scale = BigInt(level?.denominator ?? 1)
  const total = demands.reduce((sum, demand) => sum + demand, 0n)
  const groupCount = part.groups.length
  const limitNode = new Map(part.limits.map((limit, index) => [limit, 1 + groupCount + index]))
  const sink = 1 + groupCount + part.limits.length
  const network = new FlowNetwork(sink + 1)
  part.groups.forEach((group, index) => {
    network.addArc(0, 1 + index, demands[index]!)
    for (const way of group.ways) network.addArc(1 + index, limitNode.get(way)!, total + 1n)
  })
  for (const limit of part.limits) {
    const parent = part.parent[limit]!
    const capacity = BigInt(part.capacity[limit]!) * scale
    network.addArc(limitNode.get(limit)!, parent < 0 ? sink : limitNode.get(parent)!, capacity)
  }
  if (network.pushFlow(0, sink, total) === total) return null
  const reached = network.reachableFrom(0)
  const limits: boolean[] = []
  for (const [limit, node] of limitNode) limits[limit] = reached[node]!
  return { groups: part.groups.map((_, index) => reached[1 + index]!), limits }
}

/** What each group draws at the level, times the level's denominator. */
function scaledDemands(part: Part, level: FilledLevel | null): bigint[] {
  const sums = new Map(part.groups.map((group) => [group.id, { settled: 0, received: 0, weight: 0 }]))
  for (const filling of part.fillings) {
    const sum = sums.get(filling.group)!
    if (level?.rising.has(filling)) {
      sum.received += filling.received
      sum.weight += filling.weight
    } else sum.settled += settledAmount(filling, level)
  }
  const numerator = BigInt(level?.numerator ?? 0)
  const denominator = BigInt(level?.denominator ?? 1)
  return [...sums.values()].map(
    ({ settled, received, weight }) => numerator * BigInt(weight) + denominator * BigInt(settled - received),
  )
}

function settle(part: Part, level: FilledLevel | null, shared: Map<Filling, Shared>): void {
  const binding = bindingLimits(part)
  for (const filling of part.fillings) {
    const risenTo = level?.rising.has(filling) ? level : null
    const amount = risenTo ? amountAt(filling, risenTo) : settledAmount(filling, level)
    const heldBy = amount >= filling.ceiling ? [] : binding.get(filling.group)!
    shared.set(filling, { amount, risenTo, heldBy })
  }
}

function settledAmount(filling: Filling, level: FilledLevel | null): number {
  return level === null || level.full.has(filling) ? filling.ceiling : filling.floor
}

function amountAt({ weight, received }: Filling, { numerator, denominator }: FilledLevel): number {
  return Number((BigInt(numerator) * BigInt(weight)) / BigInt(denominator)) - received
}
