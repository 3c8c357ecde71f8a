import { describe, expect, it } from 'vitest'
import { allocate } from '../../../domain/rotation/allocation/allocate.ts'
import type { AllocationInput, Bottleneck } from '../../../domain/rotation/allocation/types.ts'
import { withWhatHolds } from '../../../domain/rotation/allocation/what-holds.ts'
import { randomNetwork } from './networks.ts'

const LITRE = 0.001
const WIDE = 100_000

/** The same week with some limits as wide as the sea. */
function widened(input: AllocationInput, isWide: (kind: string, id: string) => boolean): AllocationInput {
  const { weirs, pumps, tanks = [], outlets } = input
  return {
    ...input,
    weirs: weirs.map((one) => (isWide('weir', one.id) ? { ...one, releasableM3: WIDE } : one)),
    pumps: pumps.map((one) => (isWide('pump', one.id) ? { ...one, weekM3: WIDE } : one)),
    tanks: tanks.map((one) => (isWide('tank', one.id) ? { ...one, weekM3: WIDE } : one)),
    outlets: outlets.map((one) => (isWide('outlet', one.id) ? { ...one, weekM3: WIDE } : one)),
  }
}
const getsM3 = (input: AllocationInput, id: string) => allocate(input).claims.find((one) => one.id === id)!.allocatedM3
const isNamed = (held: readonly Bottleneck[], kind: string, id: string) =>
  held.some((one) => one.kind === kind && 'id' in one && one.id === id)

/** A small network in which some outlets hang on a tank of their pump. */
function network(seed: number): AllocationInput {
  const input = randomNetwork(seed, { claims: 2 + (seed % 5), weirs: 1 + (seed % 3), pumps: 2, outlets: 4 })
  const tanks = input.pumps.map(({ id }, at) => ({ id: `t${at}`, pumpId: id, weekM3: ((seed * (at + 3)) % 17) + 1 }))
  const outlets = input.outlets.map((outlet, at) =>
    (seed + at) % 3 === 0 ? { ...outlet, tankId: tanks.find(({ pumpId }) => pumpId === outlet.pumpId)!.id } : outlet,
  )
  return { ...input, tanks, outlets }
}

/** Whether a claim's water can pass a limit. */
function isOnWay({ claims, outlets, pumps }: AllocationInput, claimId: string, kind: string, place: string): boolean {
  const { outletIds } = claims.find(({ id }) => id === claimId)!
  return outletIds.some((outletId) => {
    const { pumpId, tankId } = outlets.find(({ id }) => id === outletId)!
    const { weirId } = pumps.find(({ id }) => id === pumpId)!
    return { outlet: outletId, tank: tankId, pump: pumpId, weir: weirId }[kind] === place
  })
}

describe('what is said to hold a claim', () => {
  it('lets it have more once it is gone, or stands in a row with others of which none alone would help', () => {
    const seen = { alone: 0, others: 0, row: 0 }
    for (let seed = 1; seed <= 120; seed++) {
      const input = network(seed)
      const places = [
        ...input.weirs.map(({ id }) => ['weir', id] as const),
        ...input.pumps.map(({ id }) => ['pump', id] as const),
        ...input.tanks!.map(({ id }) => ['tank', id] as const),
        ...input.outlets.map(({ id }) => ['outlet', id] as const),
      ]
      const { claims } = withWhatHolds({ input, allocation: allocate(input) })
      for (const { id, allocatedM3, heldBy, alsoHeldBy } of claims) {
        if (heldBy.kind === 'need' || heldBy.kind === 'request') continue
        const helps = (isWide: Parameters<typeof widened>[1], of = input) =>
          getsM3(widened(of, isWide), id) >= allocatedM3 + LITRE / 2
        const alone = { ...input, claims: input.claims.filter((claim) => claim.id === id) }
        if ('id' in heldBy && alsoHeldBy.length === 0 && helps((kind, place) => isNamed([heldBy], kind, place))) {
          seen.alone++
          continue
        }
        const helping = places.filter(([kind, place]) => helps((one, other) => one === kind && other === place))
        expect(
          helping.filter(([kind, place]) => isOnWay(input, id, kind, place)),
          `${seed} ${id}`,
        ).toEqual([])
        const isByOthers = helps(() => false, alone)
        expect(heldBy.kind === 'others', `${seed} ${id}`).toBe(isByOthers)
        if (isByOthers) seen.others++
        else {
          seen.row++
          // Without all that are named it has more, if nobody else is there.
          expect(
            helps((kind, place) => isNamed([heldBy, ...alsoHeldBy], kind, place), alone),
            `${seed} ${id}`,
          ).toBe(true)
        }
      }
    }
    expect(Math.min(...Object.values(seen))).toBeGreaterThan(0)
  })

  it('asks of a weir what the week would be if it gave what all of them want, and whether that finds its hours', () => {
    const claim = (id: string, outletId: string, needM3: number, more: object = {}) => ({
      ...{ id, outletIds: [outletId], needM3, entitledM3: 10, receivedM3: 0, tier: 1 },
      ...more,
    })
    const input: AllocationInput = {
      weirs: [
        { id: 'w', releasableM3: 5 },
        { id: 'v', releasableM3: 6 },
      ],
      pumps: [
        { id: 'p', weirId: 'w', weekM3: 90 },
        { id: 'q', weirId: 'v', weekM3: 90 },
      ],
      outlets: [
        { id: 'o', pumpId: 'p', weekM3: 90 },
        { id: 'u', pumpId: 'q', weekM3: 90 },
      ],
      claims: [claim('a', 'o', 10), claim('b', 'o', 8, { requestedM3: 7 }), claim('c', 'u', 20)],
    }
    const asked: unknown[] = []
    const held = (isBorneOut: boolean) =>
      withWhatHolds({
        input,
        allocation: allocate(input),
        withWeir: (weirId, releasableM3) => {
          asked.push([weirId, releasableM3])
          return { ...input, weirs: input.weirs.map((weir) => (weir.id === weirId ? { ...weir, releasableM3 } : weir)) }
        },
        laidWithWeir: (weirId, releasableM3, claimId) => {
          asked.push([weirId, releasableM3, claimId])
          return isBorneOut
        },
      }).claims.map(({ heldBy }) => ('id' in heldBy ? `${heldBy.kind} ${heldBy.id}` : heldBy.kind))
    expect(held(true)).toEqual(['weir w', 'weir w', 'weir v'])
    // All of them want 10, 7 and 20; each weir is opened once.
    expect(asked).toEqual([
      ['w', 37],
      ['w', 37, 'a'],
      ['w', 37, 'b'],
      ['v', 37],
      ['v', 37, 'c'],
    ])
    expect(held(false)).toEqual(['others', 'others', 'weir v'])
  })
})
