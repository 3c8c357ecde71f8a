import { sum } from '../../sum.ts'
import type { M3 } from '../../units.ts'
import { amountsM3 } from './allocate.ts'
import type { Allocation, AllocationInput, Bottleneck, Claim, ClaimAllocation, Id, Place } from './types.ts'

/** More than any week moves, and small enough to be counted exactly, m3. */
const WITHOUT_LIMIT_M3 = 1_000_000
const ONE_LITRE_M3 = 0.001

/**
 * The allocation with what holds each claim found by trial: a limit is named where the claim gets more once that limit alone is
 * taken away. Where none alone would help, though the claim by itself would get more, others come first by the rule; where not
 * even that, several limits in a row are as narrow as each other, and all of them are named, from the store down.
 * Volumes stay as they are.
 */
export function withWhatHolds({
  input,
  allocation,
  withWeir,
  laidWithWeir = () => true,
}: {
  input: AllocationInput
  allocation: Allocation
  /** The week with a weir that gives what all of them want; given where what plots are entitled to follows from it. */
  withWeir?: (weirId: Id, releasableM3: M3) => AllocationInput
  /** Whether that week, laid into its hours anew, bears it out that a claim gets more. */
  laidWithWeir?: (weirId: Id, releasableM3: M3, claimId: Id) => boolean
}): Allocation {
  const trials = new Map<Place, ReadonlyMap<Id, number>>()
  const wantedM3 = sum(input.claims, ({ needM3, requestedM3 = needM3 }) => Math.min(needM3, requestedM3))
  const hasRoom = placesWithRoom(input, allocation)
  const nowM3 = new Map(allocation.claims.map((claim) => [claim.id, claim.allocatedM3]))
  const tried = (place: Place) => {
    if (place.kind === 'weir' && withWeir) return amountsM3(withWeir(place.id, wantedM3))
    return hasRoom(place) ? nowM3 : amountsM3(relaxed(input, place))
  }
  const without = (place: Place) => {
    const amounts = trials.get(place) ?? tried(place)
    trials.set(place, amounts)
    return amounts
  }
  const places = placesOf(input)
  const claims = new Map(input.claims.map((claim) => [claim.id, claim]))
  return {
    ...allocation,
    claims: allocation.claims.map((given) => {
      if (!('id' in given.heldBy)) return given
      const claim = claims.get(given.id)!
      const own = waysOf(places, input, claim)
      const named = places.filter((one) => [given.heldBy, ...given.alsoHeldBy].some((held) => isSame(held, one)))
      const helps = [...named, ...own].find(
        (place) =>
          gains(without(place).get(claim.id)!, given) &&
          (place.kind !== 'weir' || laidWithWeir(place.id, wantedM3, claim.id)),
      )
      if (helps) return { ...given, heldBy: helps, alsoHeldBy: [] }
      const alone = onlyOf(input, own, claim)
      if (helpsIn(alone, given)) return { ...given, heldBy: { kind: 'others' }, alsoHeldBy: [] }
      const [first = given.heldBy, ...alsoHeldBy] = narrowOn(places, input, claim, given)
      return { ...given, heldBy: first, alsoHeldBy }
    }),
  }
}

/**
 * Whether a limit is not reached: then nothing changes without it, since the best of all ways to share stays the best while the limits that
 * it meets stay. Claims are kept in whole litres, so that each may draw up to a litre more than is written.
 */
function placesWithRoom(input: AllocationInput, { claims }: Allocation): (place: Place) => boolean {
  const { pumps, tanks = [], outlets } = input
  const drawnM3 = new Map<string, number>()
  const nameOf = ({ kind, id }: Place) => `${kind} ${id}`
  const add = (place: Place, volumeM3: M3) => drawnM3.set(nameOf(place), (drawnM3.get(nameOf(place)) ?? 0) + volumeM3)
  const outletOf = new Map(outlets.map((outlet) => [outlet.id, outlet]))
  const weirOf = new Map(pumps.map(({ id, weirId }) => [id, weirId]))
  for (const { byOutletM3 } of claims)
    for (const [outletId, volumeM3] of Object.entries(byOutletM3)) {
      const { id, pumpId, tankId } = outletOf.get(outletId)!
      add({ kind: 'outlet', id }, volumeM3)
      if (tankId !== undefined) add({ kind: 'tank', id: tankId }, volumeM3)
      add({ kind: 'pump', id: pumpId }, volumeM3)
      add({ kind: 'weir', id: weirOf.get(pumpId)! }, volumeM3)
    }
  const mostM3 = new Map([
    ...input.weirs.map(({ id, releasableM3 }) => [nameOf({ kind: 'weir', id }), releasableM3] as const),
    ...pumps.map(({ id, weekM3 }) => [nameOf({ kind: 'pump', id }), weekM3] as const),
    ...tanks.map(({ id, weekM3 }) => [nameOf({ kind: 'tank', id }), weekM3] as const),
    ...outlets.map(({ id, weekM3 }) => [nameOf({ kind: 'outlet', id }), weekM3] as const),
  ])
  const unsureM3 = (input.claims.length + 1) * ONE_LITRE_M3
  return (place) => mostM3.get(nameOf(place))! - (drawnM3.get(nameOf(place)) ?? 0) >= unsureM3
}

/** On each way of the claim the limits that keep it where it is even when all others on that way are taken away. */
function narrowOn(places: readonly Place[], input: AllocationInput, claim: Claim, given: ClaimAllocation): Place[] {
  const narrow = claim.outletIds.flatMap((outletId) => {
    const way = { ...claim, outletIds: [outletId] }
    const own = waysOf(places, input, way)
    const alone = onlyOf(input, own, way)
    return own.filter((kept) => !helpsIn(relaxed(alone, kept, false), given))
  })
  return places.filter((place) => narrow.includes(place))
}

function helpsIn(input: AllocationInput, given: ClaimAllocation): boolean {
  return gains(amountsM3(input).get(given.id)!, given)
}

function gains(withoutM3: number, { allocatedM3: nowM3 }: ClaimAllocation): boolean {
  return withoutM3 >= nowM3 + ONE_LITRE_M3 / 2
}

function isSame(held: Bottleneck, { kind, id }: Place): boolean {
  return held.kind === kind && held.id === id
}

/** All limits, those nearest the store first. */
function placesOf({ weirs, pumps, tanks = [], outlets }: AllocationInput): Place[] {
  return [
    ...weirs.map(({ id }) => ({ kind: 'weir' as const, id })),
    ...pumps.map(({ id }) => ({ kind: 'pump' as const, id })),
    ...tanks.map(({ id }) => ({ kind: 'tank' as const, id })),
    ...outlets.map(({ id }) => ({ kind: 'outlet' as const, id })),
  ]
}

/** The limits on the ways of a claim, from the store down. */
function waysOf(places: readonly Place[], { pumps, outlets }: AllocationInput, { outletIds }: Claim): Place[] {
  const own = outlets.filter(({ id }) => outletIds.includes(id))
  const through = pumps.filter(({ id }) => own.some(({ pumpId }) => pumpId === id))
  return places.filter(({ kind, id }) => {
    if (kind === 'weir') return through.some(({ weirId }) => weirId === id)
    if (kind === 'pump') return through.some((pump) => pump.id === id)
    return own.some((outlet) => (kind === 'tank' ? outlet.tankId : outlet.id) === id)
  })
}

/** The week as if nobody else had a claim. */
function onlyOf(
  { weirs, pumps, tanks, outlets }: AllocationInput,
  own: readonly Place[],
  claim: Claim,
): AllocationInput {
  const of = <T extends { id: Id }>(all: readonly T[], kind: Place['kind']) =>
    all.filter(({ id }) => own.some((place) => place.kind === kind && place.id === id))
  return {
    weirs: of(weirs, 'weir'),
    pumps: of(pumps, 'pump'),
    ...(tanks ? { tanks: of(tanks, 'tank') } : {}),
    outlets: of(outlets, 'outlet'),
    claims: [claim],
  }
}

/** The week with one limit taken away, or with all but that one. */
function relaxed(input: AllocationInput, { kind, id }: Place, isTaken = true): AllocationInput {
  const { weirs, pumps, tanks, outlets } = input
  const open = <T extends { id: Id }>(all: readonly T[], of: Place['kind'], change: (one: T) => T): T[] =>
    all.map((one) => ((of === kind && one.id === id) === isTaken ? change(one) : one))
  const wide = <T extends { id: Id; weekM3: number }>(one: T): T => ({ ...one, weekM3: WITHOUT_LIMIT_M3 })
  return {
    ...input,
    weirs: open(weirs, 'weir', (weir) => ({ ...weir, releasableM3: WITHOUT_LIMIT_M3 })),
    pumps: open(pumps, 'pump', wide),
    ...(tanks ? { tanks: open(tanks, 'tank', wide) } : {}),
    outlets: open(outlets, 'outlet', wide),
  }
}
