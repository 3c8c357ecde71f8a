import { expect, it } from 'vitest'
import { allocate } from '../../../domain/rotation/allocation/allocate.ts'
import { checkAllocation } from '../../../domain/rotation/allocation/check.ts'
import type { AllocationInput } from '../../../domain/rotation/allocation/types.ts'

/** Two claims of 10 and 20 m3, the second of which asks for 4, on an outlet of 12, a pump of 13 and a weir of 30. */
const INPUT: AllocationInput = {
  weirs: [{ id: 'w', releasableM3: 30 }],
  pumps: [{ id: 'p', weirId: 'w', weekM3: 13 }],
  outlets: [
    { id: 'o', pumpId: 'p', weekM3: 12 },
    { id: 'u', pumpId: 'p', weekM3: 9 },
  ],
  claims: [
    { id: 'a', outletIds: ['o', 'u'], needM3: 10, entitledM3: 10, receivedM3: 0, tier: 1 },
    { id: 'b', outletIds: ['o'], needM3: 20, requestedM3: 4, entitledM3: 10, receivedM3: 0, tier: 1 },
  ],
}

/** What the judge says, with its figures, of so much to each through outlet and outlet. */
function said(a: Record<string, number>, b: Record<string, number>, leftM3: number, allocatedM3?: number) {
  const given = allocate(INPUT).claims.map((claim, at) => {
    const byOutletM3 = [a, b][at]!
    const throughM3 = Object.values(byOutletM3).reduce((sum, m3) => sum + m3, 0)
    return { ...claim, byOutletM3, allocatedM3: at === 0 ? (allocatedM3 ?? throughM3) : throughM3 }
  })
  return checkAllocation({ input: INPUT, allocation: { claims: given, leftM3ByWeir: { w: leftM3 } } })
}

it('the judge of an allocation tells its figures in m3', () => {
  expect(said({ o: 7, u: 2 }, { o: 4 }, 17)).toEqual([])
  expect(said({ o: 7, u: 2 }, { o: 4 }, 17, 9.25)).toEqual([
    { code: 'outlets-do-not-add-up', values: { claim: 'a', allocatedM3: 9.25, byOutletM3: 9 } },
  ])
  expect(said({ o: 6, u: 2 }, { o: 4.5 }, 17.5)).toEqual([
    { code: 'above-need', values: { claim: 'b', allocatedM3: 4.5, mostM3: 4 } },
  ])
  expect(said({ o: 8.25 }, { o: 4 }, 17.75)).toEqual([
    { code: 'above-outlet', values: { id: 'o', drawnM3: 12.25, mostM3: 12 } },
  ])
  expect(said({ o: 7, u: 2.5 }, { o: 4 }, 16.5)).toEqual([
    { code: 'above-pump', values: { id: 'p', drawnM3: 13.5, mostM3: 13 } },
  ])
  expect(said({ o: 7, u: 2 }, { o: 4 }, 17.001)).toEqual([
    { code: 'left-does-not-add-up', values: { id: 'w', leftM3: 17.001, drawnM3: 13 } },
  ])
  // By a litre more than rounding of two claims explains: so much is looked for.
  expect(said({ o: 6, u: 1.5 }, { o: 4 }, 18.5)).toEqual([
    { code: 'level-could-be-raised', values: { claim: 'a', byM3: 0.003 } },
  ])
})

it('says of each volume whether it is whole litres', () => {
  const codes = (m3: number) => said({ o: m3 }, { o: 4 }, 26 - m3).map(({ code }) => code)
  expect(codes(5.0005)).toContain('part-of-a-litre')
  expect(codes(5.000_01)).toContain('part-of-a-litre')
  expect(codes(5.000_000_000_1)).not.toContain('part-of-a-litre')
})
