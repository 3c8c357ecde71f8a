import { describe, expect, it } from 'vitest'
import { allocate } from '../../../domain/rotation/allocation/allocate.ts'
import { checkAllocation } from '../../../domain/rotation/allocation/check.ts'
import type { Allocation } from '../../../domain/rotation/allocation/types.ts'
import { randomNetwork } from './networks.ts'

const codes = (problems: { code: string }[]) => problems.map(({ code }) => code)

/** Two plots on one outlet, a third with an outlet of its own; 12 m3 in the weir for needs of 10 each. */
function smallInput() {
  const claim = { needM3: 10, entitledM3: 10, receivedM3: 0, tier: 1, minimumM3: 1 }
  return {
    weirs: [{ id: 'w', releasableM3: 12 }],
    pumps: [{ id: 'p', weirId: 'w', weekM3: 11 }],
    outlets: [
      { id: 'a', pumpId: 'p', weekM3: 6 },
      { id: 'b', pumpId: 'p', weekM3: 8 },
    ],
    claims: [
      { ...claim, id: '1', outletIds: ['a'] },
      { ...claim, id: '2', outletIds: ['a'] },
      { ...claim, id: '3', outletIds: ['b'] },
    ],
  }
}

/** Says that the claims received these m3, each through its only outlet. */
function claimed(amountsM3: [number, number, number], leftM3?: number): Allocation {
  const left = leftM3 ?? Math.round((12 - amountsM3[0] - amountsM3[1] - amountsM3[2]) * 1000) / 1000
  const allocation = structuredClone(allocate(smallInput()))
  allocation.leftM3ByWeir = { w: left }
  allocation.claims.forEach((given, index) => {
    given.allocatedM3 = amountsM3[index]!
    given.byOutletM3 = { [index < 2 ? 'a' : 'b']: amountsM3[index]! }
  })
  return allocation
}

describe('the judge of allocations', () => {
  it('finds no fault in any allocation on 500 random networks', () => {
    for (let seed = 1; seed <= 500; seed++) {
      const input = randomNetwork(seed)
      expect(checkAllocation({ input, allocation: allocate(input) }), `network ${seed}`).toEqual([])
    }
  })

  it('accepts the allocation of the small case and names what holds each', () => {
    const allocation = allocate(smallInput())
    expect(allocation.claims.map(({ allocatedM3 }) => allocatedM3)).toEqual([3, 3, 5])
    expect(allocation.claims.map(({ heldBy }) => heldBy)).toEqual([
      { kind: 'outlet', id: 'a' },
      { kind: 'outlet', id: 'a' },
      { kind: 'pump', id: 'p' },
    ])
    expect(checkAllocation({ input: smallInput(), allocation })).toEqual([])
  })

  it.each<{ says: string; amountsM3: [number, number, number]; leftM3?: number; found: string }>([
    { says: 'more than the need', amountsM3: [0, 0, 10.5], found: 'above-need' },
    { says: 'more than the outlet', amountsM3: [4, 3, 4], found: 'above-outlet' },
    { says: 'more than the pump', amountsM3: [3, 3, 6], found: 'above-pump' },
    { says: 'more than the weir', amountsM3: [3, 3, 7], leftM3: 0, found: 'above-weir' },
    { says: 'a negative volume', amountsM3: [-1, 6, 5], found: 'volume-negative' },
    { says: 'part of a litre', amountsM3: [3.0005, 2.9995, 5], found: 'part-of-a-litre' },
    { says: 'a wrong remainder', amountsM3: [3, 3, 5], leftM3: 2, found: 'left-does-not-add-up' },
    { says: 'one favoured on the same outlet', amountsM3: [4, 2, 5], found: 'level-could-be-raised' },
    { says: 'water left that someone needs', amountsM3: [3, 3, 4], found: 'level-could-be-raised' },
    { says: 'a minimum not served', amountsM3: [5.5, 0.5, 5], found: 'minimum-could-be-raised' },
  ])('refuses $says', ({ amountsM3, leftM3, found }) => {
    const problems = checkAllocation({ input: smallInput(), allocation: claimed(amountsM3, leftM3) })
    expect(codes(problems)).toContain(found)
  })

  it('refuses a later tier that drinks before an earlier one', () => {
    const input = smallInput()
    input.claims[0]!.tier = 0
    expect(codes(checkAllocation({ input, allocation: claimed([3, 3, 5]) }))).toContain('level-could-be-raised')
  })

  it('refuses claims that are missing, doubled or unknown, and water through an outlet that is not the plot’s', () => {
    const input = smallInput()
    const good = allocate(input)
    const [first, second, third] = good.claims as [never, never, never]
    const judge = (claims: Allocation['claims']) => codes(checkAllocation({ input, allocation: { ...good, claims } }))
    expect(judge([first, second])).toEqual(['claim-missing'])
    expect(judge([first, second, third, third])).toEqual(['claim-twice'])
    expect(judge([first, second, third, { ...good.claims[0]!, id: '9' }])).toEqual(['claim-unknown'])
    expect(judge([first, second, { ...good.claims[2]!, byOutletM3: { a: 5 } }])).toContain('outlet-not-own')
    expect(judge([first, second, { ...good.claims[2]!, byOutletM3: { b: 4 } }])).toContain('outlets-do-not-add-up')
  })

  it('notices water moved between two claims that stood level, in every random network that has such a pair', () => {
    let moved = 0
    let noticed = 0
    for (let seed = 1; seed <= 300; seed++) {
      const input = randomNetwork(seed)
      const allocation = structuredClone(allocate(input))
      const toLitres = input.claims.length * 3
      const pair = sameOutletPair(input, allocation, toLitres / 1000)
      if (!pair) continue
      const [from, to, outlet] = pair
      for (const [given, sign] of [
        [from, -1],
        [to, 1],
      ] as const) {
        const change = (m3: number) => Math.round(m3 * 1000 + sign * toLitres) / 1000
        given.allocatedM3 = change(given.allocatedM3)
        given.byOutletM3[outlet] = change(given.byOutletM3[outlet] ?? 0)
      }
      moved++
      if (checkAllocation({ input, allocation }).length > 0) noticed++
    }
    expect(moved).toBeGreaterThan(50)
    expect(noticed).toBe(moved)
  })
})

/** Two claims of a tier at one level, above their minimums and below their needs, that draw through the same outlet. */
function sameOutletPair(input: ReturnType<typeof randomNetwork>, allocation: Allocation, volumeM3: number) {
  for (const [index, from] of allocation.claims.entries()) {
    const claim = input.claims[index]!
    for (const [outlet, amountM3] of Object.entries(from.byOutletM3)) {
      if (amountM3 < volumeM3 || from.allocatedM3 - volumeM3 < (claim.minimumM3 ?? 0)) continue
      const other = allocation.claims.findIndex((to, at) => {
        const taker = input.claims[at]!
        const room = taker.needM3 - to.allocatedM3
        // One litre of the giver's level may be many litres of the taker's: the judge cannot see less than that.
        if (taker.entitledM3 > claim.entitledM3 || claim.entitledM3 === 0) return false
        return (
          at !== index &&
          taker.tier === claim.tier &&
          to.level === from.level &&
          room > volumeM3 &&
          taker.outletIds.includes(outlet)
        )
      })
      if (other >= 0) return [from, allocation.claims[other]!, outlet] as const
    }
  }
  return null
}
