import { type Filling, type Turn, turnsOf } from './water-filling.ts'

/** Anything that passes at most `capacity` in the week; `parent` is the limit that it draws from, -1 for none. Children come first. */
export interface Limit {
  capacity: number
  parent: number
}

/** Claims that draw through the same limits. `barredBy` names the limits that close the ways they have lost to others. */
interface PartGroup {
  id: number
  ways: number[]
  barredBy: ReadonlySet<number>
}

/** A piece of the network that shares its water independently of the rest. Arrays are indexed by limit. */
export interface Part {
  groups: PartGroup[]
  fillings: Filling[]
  turns: Turn[]
  /** Limits of this part, children before parents. */
  limits: number[]
  capacity: number[]
  parent: number[]
  /** The limit to name when this one binds: itself, or the one above that others have used up. */
  named: number[]
}

/** The network as one part, before anything in it is held: what is to be filled, in whole litres, and the limits that hold it. */
export function wholePart({
  fillings,
  waysOfGroup,
  limits,
}: {
  fillings: readonly Filling[]
  waysOfGroup: readonly (readonly number[])[]
  limits: readonly Limit[]
}): Part {
  return {
    groups: waysOfGroup.map((ways, id) => ({ id, ways: [...ways], barredBy: new Set<number>() })),
    fillings: [...fillings],
    turns: turnsOf(fillings),
    limits: limits.map((_, limit) => limit),
    capacity: limits.map(({ capacity }) => capacity),
    parent: limits.map(({ parent }) => parent),
    named: limits.map((_, limit) => limit),
  }
}

/** What the part's limits let through when every group draws all it can. */
export function yieldOf(part: Part): number {
  const inflow = inflows(part)
  let total = 0
  for (const limit of part.limits) {
    if (part.parent[limit]! < 0) total += Math.min(part.capacity[limit]!, inflow[limit]!)
  }
  return total
}

/** For each group, the limit nearest the store that binds on each of its ways when everyone draws; without repeats. */
export function bindingLimits(part: Part): Map<number, number[]> {
  const inflow = inflows(part)
  const bindingOn = (way: number) => {
    let found = way
    for (let limit = way; limit >= 0; limit = part.parent[limit]!) {
      if (part.capacity[limit]! <= inflow[limit]!) found = limit
    }
    return part.named[found]!
  }
  return new Map(part.groups.map(({ id, ways, barredBy }) => [id, [...new Set([...ways.map(bindingOn), ...barredBy])]]))
}

/** The most that can arrive at each limit from the outlets that someone in the part uses. */
function inflows(part: Part): number[] {
  const inflow: number[] = []
  for (const limit of part.limits) inflow[limit] = 0
  for (const { ways } of part.groups) for (const way of ways) inflow[way] = Number.POSITIVE_INFINITY
  for (const limit of part.limits) {
    const parent = part.parent[limit]!
    if (parent >= 0) inflow[parent] = inflow[parent]! + Math.min(part.capacity[limit]!, inflow[limit]!)
  }
  return inflow
}

/** The two parts on either side of a cut: those behind it use it up, the others have what it leaves. */
export function splitPart(part: Part, behind: { groups: boolean[]; limits: boolean[] }): [Part, Part] {
  return [partBehind(part, behind), partBeyond(part, behind)]
}

function partBehind(part: Part, behind: { groups: boolean[]; limits: boolean[] }): Part {
  const parent = part.parent.map((above) => (above >= 0 && behind.limits[above] ? above : -1))
  return { ...chosen(part, behind, true), capacity: part.capacity, parent, named: part.named }
}

function partBeyond(part: Part, behind: { groups: boolean[]; limits: boolean[] }): Part {
  const rest = chosen(part, behind, false)
  const capacity = [...part.capacity]
  const parent = [...part.parent]
  const named = [...part.named]
  for (const limit of part.limits) {
    if (!behind.limits[limit] || behind.limits[part.parent[limit]!]) continue
    for (let above = part.parent[limit]!; above >= 0 && !behind.limits[above]; above = part.parent[above]!) {
      capacity[above]! -= part.capacity[limit]!
    }
  }
  for (const limit of rest.limits) {
    const above = part.parent[limit]!
    if (above < 0 || !behind.limits[above]) continue
    capacity[limit] = 0
    parent[limit] = -1
    named[limit] = cutAbove(part, behind.limits, above)
  }
  const groups = rest.groups.map((group) => withoutWaysBehind(part, behind.limits, group))
  return { ...rest, groups, capacity, parent, named }
}

function withoutWaysBehind(part: Part, behind: boolean[], group: PartGroup): PartGroup {
  const barredBy = new Set(group.barredBy)
  for (const way of group.ways) if (behind[way]) barredBy.add(cutAbove(part, behind, way))
  return { id: group.id, ways: group.ways.filter((way) => !behind[way]), barredBy }
}

/** The limit behind the cut through which a limit's water leaves it. */
function cutAbove(part: Part, behind: boolean[], limit: number): number {
  let at = limit
  while (part.parent[at]! >= 0 && behind[part.parent[at]!]) at = part.parent[at]!
  return part.named[at]!
}

function chosen(part: Part, behind: { groups: boolean[]; limits: boolean[] }, side: boolean) {
  const groups = part.groups.filter((_, index) => behind.groups[index] === side)
  const ids = new Set(groups.map(({ id }) => id))
  return {
    groups,
    fillings: part.fillings.filter(({ group }) => ids.has(group)),
    turns: part.turns.filter(({ filling }) => ids.has(filling.group)),
    limits: part.limits.filter((limit) => Boolean(behind.limits[limit]) === side),
  }
}
