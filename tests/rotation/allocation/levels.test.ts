import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { InputError } from '../../../domain/input-error.ts'
import { networkOf } from '../../../domain/rotation/allocation/network.ts'
import { compareIds } from '../../../domain/rotation/allocation/types.ts'
import { type Filling, fillTo, turnsOf } from '../../../domain/rotation/allocation/water-filling.ts'

describe('the one level at which claims use so much', () => {
  const filling = fc
    .record({ floor: fc.nat(5), more: fc.nat(8), weight: fc.integer({ min: 1, max: 4 }), received: fc.nat(6) })
    .map(({ floor, more, weight, received }): Filling => ({ floor, ceiling: floor + more, weight, received, group: 0 }))

  it('gives each what it lacks of it, between its floor and its ceiling, and knows who rises and who is full', () => {
    fc.assert(
      fc.property(fc.array(filling, { minLength: 1, maxLength: 6 }), fc.nat(100), (fillings, part) => {
        const [least, most] = [
          fillings.reduce((sum, one) => sum + one.floor, 0),
          fillings.reduce((sum, one) => sum + one.ceiling, 0),
        ]
        fc.pre(least < most)
        const total = least + Math.floor(((most - least) * part) / 101)
        const { numerator, denominator, rising, full } = fillTo(total, fillings, turnsOf(fillings))
        const level = numerator / denominator
        const at = ({ weight, received }: Filling) => level * weight - received
        const given = fillings.map((one) => Math.min(Math.max(at(one), one.floor), one.ceiling))
        expect(given.reduce((sum, one) => sum + one, 0)).toBeCloseTo(total, 9)
        for (const one of fillings) {
          if (one.floor < at(one) - 1e-9 && at(one) < one.ceiling - 1e-9) expect(rising.has(one)).toBe(true)
          if (at(one) < one.floor - 1e-9) expect(rising.has(one) || full.has(one)).toBe(false)
          if (one.floor < one.ceiling && at(one) > one.ceiling + 1e-9)
            expect([rising.has(one), full.has(one)]).toEqual([false, true])
          if (one.floor === one.ceiling) expect(rising.has(one) || full.has(one)).toBe(false)
        }
      }),
    )
  })

  it('goes by fractions that no machine’s arithmetic tells apart', () => {
    // Of (n + 1) / n the larger n is the lower.
    const of = (n: number): Filling => ({ floor: 1, ceiling: 2 ** 52, weight: n, received: n, group: 0 })
    const [low, high] = [of(94906271), of(94906270)]
    const starts = (list: Filling[]) =>
      turnsOf(list)
        .filter((turn) => turn.starts)
        .map(({ filling: one }) => one)
    expect([starts([low, high]), starts([high, low])]).toEqual([
      [low, high],
      [low, high],
    ])
    const [near, nearer] = [of(2 ** 53 - 3), of(2 ** 53 - 2)]
    expect((near.received + 1) / near.weight).toBe((nearer.received + 1) / nearer.weight)
    expect([starts([near, nearer]), starts([nearer, near])]).toEqual([
      [nearer, near],
      [nearer, near],
    ])
  })
})

it('names made of digits stand by their value, all others by their letters', () => {
  const sign = (a: string, b: string) => Math.sign(compareIds(a, b))
  const inOrder = ['01', '1', '9', '10', 'a', 'a10', 'a9', 'b']
  inOrder.forEach((a, at) => {
    inOrder.forEach((b, other) => {
      expect(sign(a, b), `${a} ${b}`).toBe(Math.sign(at - other))
    })
  })
})

describe('figures of a claim', () => {
  const claim = { id: 'c', outletIds: ['o'], needM3: 1, entitledM3: 1, receivedM3: 0, minimumM3: 0, tier: 1 }
  const network = (figures: Partial<typeof claim>) =>
    networkOf({
      weirs: [{ id: 'w', releasableM3: 1 }],
      pumps: [{ id: 'p', weirId: 'w', weekM3: 1 }],
      outlets: [{ id: 'o', pumpId: 'p', weekM3: 1 }],
      claims: [{ ...claim, ...figures }],
    })

  it('are refused where all together are beyond nine million m3', () => {
    const FIGURES = ['needM3', 'entitledM3', 'receivedM3', 'minimumM3'] as const
    for (const one of FIGURES) {
      expect(() => network({ [one]: 5e6 })).not.toThrow()
      for (const other of FIGURES)
        if (one !== other)
          expect(() => network({ [one]: 5e6, [other]: 5e6 }), `${one} ${other}`).toThrow('volume-too-large')
    }
    const refusal = (() => {
      try {
        return network({ needM3: 5e6, receivedM3: 6e6 })
      } catch (error) {
        return error as InputError
      }
    })()
    expect(refusal).toBeInstanceOf(InputError)
    expect(refusal).toMatchObject({ values: { volumeM3: expect.closeTo(11_000_001, 3) } })
  })
})
