import type { M3 } from '../../units.ts'
/** Name of a weir, pump, outlet or claim. Names made of digits are ordered as numbers. */
export type Id = string

interface WeirWater {
  id: Id
  releasableM3: M3
  /** Days that the weir's water would last at its usual draw; where more than one weir can serve, the longest goes first. */
  coverDays?: number
}

interface PumpWeek {
  id: Id
  weirId: Id
  weekM3: M3
}

/** A raised tank: what its outlets give by gravity has passed its pump, and in a week no more than it can turn over. */
export interface TankWeek {
  id: Id
  pumpId: Id
  weekM3: M3
}

export interface OutletWeek {
  id: Id
  pumpId: Id
  weekM3: M3
  /** The tank that feeds it by gravity, which hangs on the same pump. */
  tankId?: Id
}

export interface Claim {
  id: Id
  outletIds: readonly Id[]
  /** The computed need of the coming week. */
  needM3: M3
  /** What was asked for, where it was; it can only lower the claim, never raise it above the need. */
  requestedM3?: M3
  /** Season so far and the coming week, from `entitlements`. */
  entitledM3: M3
  receivedM3: M3
  /** 0 is served first: domestic and livestock water. */
  tier: number
  /** Served before anything else, as far as the water goes. */
  minimumM3?: M3
}

export interface AllocationInput {
  weirs: readonly WeirWater[]
  pumps: readonly PumpWeek[]
  tanks?: readonly TankWeek[]
  outlets: readonly OutletWeek[]
  claims: readonly Claim[]
}

/** A limit of the network, by its kind and name. */
export type Place =
  | { kind: 'outlet'; id: Id }
  | { kind: 'tank'; id: Id }
  | { kind: 'pump'; id: Id }
  | { kind: 'weir'; id: Id }

/** What stopped a claim from rising further; with `others` the rule gives what there is to other claims first. */
export type Bottleneck = { kind: 'need' } | { kind: 'request' } | { kind: 'others' } | Place

export interface ClaimAllocation {
  id: Id
  /** Whole litres. */
  allocatedM3: M3
  byOutletM3: Record<Id, number>
  /** (received + allocated) / entitled before rounding to litres; need stands for an entitlement of zero; null where both are zero. */
  level: number | null
  heldBy: Bottleneck
  /** Further limits that would each have to give way as well, where a claim has several ways to water. */
  alsoHeldBy: Bottleneck[]
}

export interface Allocation {
  claims: ClaimAllocation[]
  leftM3ByWeir: Record<Id, number>
}

const DIGITS = /^\d+$/

/**
 * Order of names: digits by value, everything else by character code, so that it is the same on every machine. Below zero
 * where the first comes first; the number says nothing more than its sign.
 */
export function compareIds(a: Id, b: Id): number {
  if (DIGITS.test(a) && DIGITS.test(b)) {
    const difference = Number(a) - Number(b)
    if (difference !== 0) return difference
  }
  return a < b ? -1 : a > b ? 1 : 0
}
