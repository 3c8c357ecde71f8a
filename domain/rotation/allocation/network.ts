import { InputError } from '../../input-error.ts'
import { sum } from '../../sum.ts'
import { type M3, wholeLitresDown } from '../../units.ts'
import type { Limit } from './parts.ts'
import { type AllocationInput, type Claim, compareIds, type Id, type Place } from './types.ts'

/** Amounts are counted in thousandths of a millilitre (mm3), so that levels can be compared as fractions of whole numbers. */
export const UNITS_PER_LITRE = 1_000_000
const UNITS_PER_M3 = 1000 * UNITS_PER_LITRE

/** A claim in whole units, in the order of ids. */
export interface CountedClaim {
  claim: Claim
  /** Most that it can be given: the need, or the request where that is less. */
  ceiling: number
  minimum: number
  weight: number
  received: number
  group: number
}

/** The week's network: limits are the outlets, then the tanks, the pumps and the weirs, each in the order in which ways are tried. */
export interface AllocationNetwork {
  claims: CountedClaim[]
  waysOfGroup: number[][]
  limits: Limit[]
  names: Place[]
}

/**
 * Reads the input: litres are rounded down for limits, needs and minimums (part of a litre is promised to nobody);
 * entitled and received are kept to the unit, because they only set the level.
 */
export function networkOf(input: AllocationInput): AllocationNetwork {
  const { limits, names } = limitsOf(input)
  const outletIndex = new Map(names.flatMap((name, index) => (name.kind === 'outlet' ? [[name.id, index]] : [])))
  const groupOfWays = new Map<string, number>()
  const waysOfGroup: number[][] = []
  const claims = [...input.claims]
    .sort((a, b) => compareIds(a.id, b.id))
    .map((claim) => {
      const ways = [...new Set(claim.outletIds)].map((id) => known(outletIndex, id, 'outlet')).sort((a, b) => a - b)
      const key = ways.join(' ')
      const group = groupOfWays.get(key) ?? waysOfGroup.push(ways) - 1
      groupOfWays.set(key, group)
      return countedClaim(claim, group)
    })
  refuseRepeats(claims.map(({ claim }) => claim.id))
  refuseTooMuch(claims)
  const wanted = sum(claims, ({ ceiling }) => ceiling)
  for (const limit of limits) limit.capacity = Math.min(limit.capacity, wanted)
  return { claims, waysOfGroup, limits, names }
}

function limitsOf({ weirs, pumps, tanks = [], outlets }: AllocationInput): Pick<AllocationNetwork, 'limits' | 'names'> {
  const sortedWeirs = [...weirs].sort((a, b) => (b.coverDays ?? 0) - (a.coverDays ?? 0) || compareIds(a.id, b.id))
  const weirRank = rankOf(sortedWeirs)
  const sortedPumps = [...pumps].sort((a, b) => byRank(weirRank, a.weirId, b.weirId, 'weir') || compareIds(a.id, b.id))
  const pumpRank = rankOf(sortedPumps)
  const sortedOutlets = [...outlets].sort(
    (a, b) => byRank(pumpRank, a.pumpId, b.pumpId, 'pump') || compareIds(a.id, b.id),
  )
  rankOf(sortedOutlets)
  const sortedTanks = [...tanks].sort((a, b) => compareIds(a.id, b.id))
  const tankRank = rankOf(sortedTanks)
  const firstTank = sortedOutlets.length
  const firstPump = firstTank + sortedTanks.length
  const firstWeir = firstPump + sortedPumps.length
  const limits: Limit[] = [
    ...sortedOutlets.map(({ id, pumpId, tankId, weekM3 }) => ({
      capacity: litreUnits('outlet', id, weekM3),
      parent:
        tankId === undefined
          ? firstPump + known(pumpRank, pumpId, 'pump')
          : firstTank + known(tankRank, tankId, 'tank'),
    })),
    ...sortedTanks.map(({ id, pumpId, weekM3 }) => ({
      capacity: litreUnits('tank', id, weekM3),
      parent: firstPump + known(pumpRank, pumpId, 'pump'),
    })),
    ...sortedPumps.map(({ id, weirId, weekM3 }) => ({
      capacity: litreUnits('pump', id, weekM3),
      parent: firstWeir + known(weirRank, weirId, 'weir'),
    })),
    ...sortedWeirs.map(({ id, releasableM3 }) => ({ capacity: litreUnits('weir', id, releasableM3), parent: -1 })),
  ]
  const names: AllocationNetwork['names'] = [
    ...sortedOutlets.map(({ id }) => ({ kind: 'outlet' as const, id })),
    ...sortedTanks.map(({ id }) => ({ kind: 'tank' as const, id })),
    ...sortedPumps.map(({ id }) => ({ kind: 'pump' as const, id })),
    ...sortedWeirs.map(({ id }) => ({ kind: 'weir' as const, id })),
  ]
  return { limits, names }
}

function countedClaim(claim: Claim, group: number): CountedClaim {
  const { id, needM3, requestedM3 = needM3, minimumM3 = 0, entitledM3, receivedM3, tier } = claim
  if (!Number.isFinite(tier)) throw new RangeError(`claim ${id} has no tier`)
  const ceiling = Math.min(litreUnits('claim', id, needM3), litreUnits('claim', id, requestedM3))
  const entitled = units('claim', id, entitledM3)
  return {
    claim,
    ceiling,
    minimum: litreUnits('claim', id, minimumM3),
    weight: entitled > 0 ? entitled : litreUnits('claim', id, needM3),
    received: units('claim', id, receivedM3),
    group,
  }
}

/** Beyond nine million m3 the sums would no longer be exact; no group of this size moves that much. */
function refuseTooMuch(claims: readonly CountedClaim[]): void {
  let total = 0
  for (const { ceiling, minimum, weight, received } of claims) total += ceiling + minimum + weight + received
  if (!Number.isSafeInteger(total)) throw new InputError('volume-too-large', { volumeM3: total / UNITS_PER_M3 })
}

function litreUnits(kind: string, id: Id, volumeM3: M3): number {
  refuseBelowZero(kind, id, volumeM3)
  return wholeLitresDown(volumeM3) * UNITS_PER_LITRE
}

function units(kind: string, id: Id, volumeM3: M3): number {
  refuseBelowZero(kind, id, volumeM3)
  return Math.round(volumeM3 * UNITS_PER_M3)
}

function refuseBelowZero(kind: string, id: Id, volumeM3: M3): void {
  if (!(volumeM3 >= 0)) throw new InputError('volume-below-zero', { kind, id, volumeM3 })
}

function rankOf(things: readonly { id: Id }[]): Map<Id, number> {
  refuseRepeats(things.map(({ id }) => id))
  return new Map(things.map(({ id }, rank) => [id, rank]))
}

function byRank(ranks: ReadonlyMap<Id, number>, a: Id, b: Id, kind: string): number {
  return known(ranks, a, kind) - known(ranks, b, kind)
}

function known(ranks: ReadonlyMap<Id, number>, id: Id, kind: string): number {
  const rank = ranks.get(id)
  if (rank === undefined) throw new RangeError(`unknown ${kind} ${id}`)
  return rank
}

function refuseRepeats(ids: readonly Id[]): void {
  if (new Set(ids).size < ids.length) throw new RangeError(`an id is used twice among ${ids.join(', ')}`)
}
