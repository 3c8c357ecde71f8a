import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../../domain/random.ts'
import { allocate } from '../../../domain/rotation/allocation/allocate.ts'
import { checkAllocation } from '../../../domain/rotation/allocation/check.ts'
import { explainAllocation } from '../../../domain/rotation/allocation/explain.ts'
import type { AllocationInput } from '../../../domain/rotation/allocation/types.ts'
import { randomNetwork } from '../allocation/networks.ts'

/** The same network one step further from the stream: its pumps become tanks, its weirs become pumps on weirs with plenty. */
function oneStepDown({ weirs, pumps, outlets, claims }: AllocationInput): AllocationInput {
  const weirOf = new Map(pumps.map(({ id, weirId }) => [id, weirId]))
  return {
    weirs: weirs.map((weir) => ({ ...weir, releasableM3: 1e6 })),
    pumps: weirs.map(({ id, releasableM3 }) => ({ id, weirId: id, weekM3: releasableM3 })),
    tanks: pumps.map(({ id, weirId, weekM3 }) => ({ id, pumpId: weirId, weekM3 })),
    outlets: outlets.map(({ id, pumpId, weekM3 }) => ({ id, pumpId: weirOf.get(pumpId)!, tankId: pumpId, weekM3 })),
    claims,
  }
}

/** Hangs some of the outlets on a tank of their pump that carries less than they would. */
function withTanks(seed: number): AllocationInput {
  const input = randomNetwork(seed)
  const random = seededRandom(seed + 1000)
  const tanks = input.pumps.map(({ id, weekM3 }) => {
    return { id: `t${id}`, pumpId: id, weekM3: Math.floor(weekM3 * random() * 600) / 1000 }
  })
  const outlets = input.outlets.map((outlet) => (random() < 0.5 ? { ...outlet, tankId: `t${outlet.pumpId}` } : outlet))
  return { ...input, tanks, outlets }
}

/** The tank gives 4 m3 of the pump's 20 to two plots that need 6 each; a third draws straight from the pump. */
function tankOfTwo(): AllocationInput {
  const claim = { needM3: 6, entitledM3: 6, receivedM3: 0, tier: 1 }
  return {
    weirs: [{ id: 'w', releasableM3: 30 }],
    pumps: [{ id: 'p', weirId: 'w', weekM3: 20 }],
    tanks: [{ id: 't', pumpId: 'p', weekM3: 4 }],
    outlets: [
      { id: 'low', pumpId: 'p', weekM3: 20, tankId: 't' },
      { id: 'lower', pumpId: 'p', weekM3: 20, tankId: 't' },
      { id: 'direct', pumpId: 'p', weekM3: 20 },
    ],
    claims: [
      { ...claim, id: '1', outletIds: ['low'] },
      { ...claim, id: '2', outletIds: ['lower'] },
      { ...claim, id: '3', outletIds: ['direct'] },
    ],
  }
}

describe('a tank as a limit of the allocation', () => {
  it('is shared by the level, and named as what held those behind it', () => {
    const input = tankOfTwo()
    const allocation = allocate(input)
    expect(allocation.claims.map(({ allocatedM3 }) => allocatedM3)).toEqual([2, 2, 6])
    expect(allocation.claims.map(({ heldBy }) => heldBy)).toEqual([
      { kind: 'tank', id: 't' },
      { kind: 'tank', id: 't' },
      { kind: 'need' },
    ])
    const { limit } = explainAllocation({ input, allocation, claimId: '1' })
    expect(limit).toEqual({ mostM3: 4, countedM3: 12, claimCount: 2, drawnM3: 4 })
    expect(checkAllocation({ input, allocation })).toEqual([])
  })

  it('comes to the same as the network that stands one step nearer to the stream, which solvers have checked', () => {
    for (let seed = 1; seed <= 200; seed++) {
      const input = randomNetwork(seed)
      const near = allocate(input).claims.map(({ allocatedM3, level }) => [allocatedM3, level])
      const far = allocate(oneStepDown(input)).claims.map(({ allocatedM3, level }) => [allocatedM3, level])
      expect(far).toEqual(near)
    }
  })

  it('passes the judge on 300 random networks, some of which a tank holds back', () => {
    let held = 0
    for (let seed = 1; seed <= 300; seed++) {
      const input = withTanks(seed)
      const allocation = allocate(input)
      expect(checkAllocation({ input, allocation })).toEqual([])
      held += allocation.claims.filter(({ heldBy }) => heldBy.kind === 'tank').length
    }
    expect(held).toBeGreaterThan(100)
  })

  it('is found by the judge when it gives too much, or gives one plot what another should have', () => {
    const input = tankOfTwo()
    const given = (amounts: number[]) => {
      const allocation = allocate(input)
      allocation.claims.forEach((claim, at) => {
        claim.allocatedM3 = amounts[at]!
        claim.byOutletM3 = { [input.claims[at]!.outletIds[0]!]: amounts[at]! }
      })
      allocation.leftM3ByWeir = { w: 30 - amounts.reduce((sum, each) => sum + each, 0) }
      return checkAllocation({ input, allocation }).map(({ code }) => code)
    }
    expect(given([2, 2, 6])).toEqual([])
    expect(given([3, 2, 6])).toContain('above-tank')
    expect(given([3, 1, 6])).toContain('level-could-be-raised')
  })
})
