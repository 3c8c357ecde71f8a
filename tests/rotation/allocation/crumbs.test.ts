import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { allocate } from '../../../domain/rotation/allocation/allocate.ts'
import { checkAllocation } from '../../../domain/rotation/allocation/check.ts'
import { runs } from '../../support/runs.ts'
import { randomNetwork } from './networks.ts'

const claim = (id: string, outletIds: string[], needM3: number) => ({
  ...{ id, outletIds, needM3, entitledM3: needM3, receivedM3: 0, tier: 1 },
})

describe('a claim with outlets on two weirs', () => {
  const input = {
    weirs: [
      { id: '1', releasableM3: 10.05, coverDays: 90 },
      { id: '2', releasableM3: 50, coverDays: 30 },
    ],
    pumps: [
      { id: 'p1', weirId: '1', weekM3: 100 },
      { id: 'p2', weirId: '2', weekM3: 100 },
    ],
    outlets: [
      { id: 'a', pumpId: 'p1', weekM3: 100 },
      { id: 'b', pumpId: 'p2', weekM3: 100 },
    ],
  }

  it('takes as much as it can from the weir with most days of cover', () => {
    const { claims } = allocate({ ...input, claims: [claim('x', ['a', 'b'], 14)] })
    expect(claims[0]!.byOutletM3).toEqual({ a: 10.05, b: 3.95 })
  })

  it('opens a second valve for a hundred litres, not for one less, and for less where the other has no room for it', () => {
    const split = (firstWeirM3: number, otherOutletM3: number) => {
      const [first, other] = [input.weirs[0]!, input.outlets[1]!]
      const { claims } = allocate({
        ...input,
        weirs: [{ ...first, releasableM3: firstWeirM3 }, input.weirs[1]!],
        outlets: [input.outlets[0]!, { ...other, weekM3: otherOutletM3 }],
        claims: [claim('first', ['a'], 10), claim('x', ['a', 'b'], 4)],
      })
      return claims[1]!.byOutletM3
    }
    expect([split(10.1, 100), split(10.099, 100)]).toEqual([{ a: 0.1, b: 3.9 }, { b: 4 }])
    expect([split(10.05, 4), split(10.05, 3.999)]).toEqual([{ b: 4 }, { a: 0.05, b: 3.95 }])
  })

  it('does not open a second valve for fifty litres that the other outlet gives as well', () => {
    const asked = { ...input, claims: [claim('first', ['a'], 10), claim('x', ['a', 'b'], 4)] }
    const result = allocate(asked)
    expect(result.claims.map(({ byOutletM3 }) => byOutletM3)).toEqual([{ a: 10 }, { b: 4 }])
    expect(result.leftM3ByWeir).toEqual({ 1: 0.05, 2: 46 })
    expect(checkAllocation({ input: asked, allocation: result })).toEqual([])
  })

  it('keeps the fifty litres apart where the other weir has nothing more', () => {
    const weirs = [input.weirs[0]!, { id: '2', releasableM3: 3.95, coverDays: 30 }]
    const { claims } = allocate({ ...input, weirs, claims: [claim('first', ['a'], 10), claim('x', ['a', 'b'], 4)] })
    expect(claims[1]!.byOutletM3).toEqual({ a: 0.05, b: 3.95 })
  })
})

it('gathering crumbs changes nobody’s volume and passes the judge, on random networks', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 100_000 }), (seed) => {
      const input = randomNetwork(seed)
      expect(checkAllocation({ input, allocation: allocate(input) })).toEqual([])
    }),
    runs(200),
  )
})
