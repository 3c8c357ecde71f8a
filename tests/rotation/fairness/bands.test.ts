import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fairnessIndicators } from '../../../domain/rotation/fairness/indicators.ts'

/** One user and one step to whom so much came of a hundred, or by whom so much was taken. */
const came = (deliveredM3: number) => fairnessIndicators({ requiredM3: [[100]], deliveredM3: [[deliveredM3]] })
/** Two users of a hundred each, who differ by so much either way from their mean. */
const apart = (m3: number) => fairnessIndicators({ requiredM3: [[100, 100]], deliveredM3: [[50 - m3, 50 + m3]] })

describe('the bands of fairness', () => {
  it('begin with their first hundredth', () => {
    expect([90, 89, 80, 79].map((m3) => came(m3).adequacy.band)).toEqual(['good', 'fair', 'fair', 'poor'])
    const efficiency = [85, 84, 70, 69].map((percent) => came(100 / (percent / 100)).efficiency.band)
    expect(efficiency).toEqual(['good', 'fair', 'fair', 'poor'])
    expect([5, 5.5, 12.5, 13].map((m3) => apart(m3).equity.population.band)).toEqual(['good', 'fair', 'fair', 'poor'])
    const dependability = (m3: number) =>
      fairnessIndicators({ requiredM3: [[100], [100]], deliveredM3: [[50 - m3], [50 + m3]] }).dependability.population
        .band
    expect([5, 5.5, 10, 10.5].map(dependability)).toEqual(['good', 'fair', 'fair', 'poor'])
  })

  it('say nothing of nothing', () => {
    const none = fairnessIndicators({ requiredM3: [[0, 0]], deliveredM3: [[1, 2]] })
    expect(none).toMatchObject({
      adequacy: { value: null, band: null },
      efficiency: { value: null },
      jain: null,
      gini: null,
    })
    expect(none.equity.population.value).toBeNull()
    const dry = fairnessIndicators({ requiredM3: [[5, 5]], deliveredM3: [[0, 0]] })
    expect(dry).toMatchObject({ adequacy: { value: 0 }, efficiency: { value: 1 }, jain: null, gini: null })
    expect(dry.equity.population.value).toBeNull()
    expect(came(50).equity).toMatchObject({ population: { value: 0 }, sample: { value: null } })
    expect(came(50).gini).toEqual({ value: 0, smallSample: null })
  })

  it('are refused of rows that do not match', () => {
    const of = (requiredM3: number[][], deliveredM3: number[][]) => () =>
      fairnessIndicators({ requiredM3, deliveredM3 })
    for (const wrong of [
      of([[1]], [[1], [1]]),
      of([[1, 2]], [[1]]),
      of([[1], [1, 2]], [[1], [1, 2]]),
      of([[-1]], [[1]]),
      of([[1]], [[-1]]),
    ])
      expect(wrong).toThrow(RangeError)
  })
})

describe('how evenly shares fall', () => {
  const some = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 5 })
  const of = (delivered: number[]) =>
    fairnessIndicators({ requiredM3: [delivered.map(() => 10)], deliveredM3: [delivered] })

  it('is by Gini half of the mean difference of any two over their mean, all pairs counted', () => {
    fc.assert(
      fc.property(some, (delivered) => {
        fc.pre(delivered.some((m3) => m3 > 0))
        let apartBy = 0
        for (const one of delivered) for (const other of delivered) apartBy += Math.abs(one - other)
        const mean = delivered.reduce((sum, m3) => sum + m3, 0) / delivered.length
        const gini = apartBy / delivered.length ** 2 / (2 * mean)
        const { value, smallSample } = of(delivered).gini!
        expect(value).toBeCloseTo(gini, 9)
        const count = delivered.length
        if (count > 1) expect(smallSample).toBeCloseTo((gini * count) / (count - 1), 9)
      }),
    )
  })

  it('is by Jain one over one and the squared variation, and neither minds the order or the size', () => {
    fc.assert(
      fc.property(some, (delivered) => {
        fc.pre(delivered.some((m3) => m3 > 0))
        const { jain, equity, gini } = of(delivered)
        expect(jain).toBeCloseTo(1 / (1 + equity.population.value! ** 2), 9)
        for (const other of [of(delivered.toReversed()), of(delivered.map((m3) => m3 / 4))]) {
          expect(other.jain).toBeCloseTo(jain!, 9)
          expect(other.gini!.value).toBeCloseTo(gini!.value, 9)
        }
      }),
    )
  })

  it('leaves out what was not required of a user, whatever came', () => {
    const rows = fairnessIndicators({
      requiredM3: [
        [10, 0],
        [10, 10],
      ],
      deliveredM3: [
        [5, 9],
        [10, 10],
      ],
    })
    expect(rows.adequacy.value).toBeCloseTo((0.5 + 1 + 1) / 3, 12)
    // Of the whole time: 15 of 20 and 10 of 10.
    expect(rows.jain).toBeCloseTo(1.75 ** 2 / (2 * (0.75 ** 2 + 1)), 12)
    expect(rows.equity.population.value).toBe(0)
    expect(rows.dependability.population.value).toBeCloseTo((0.25 / 0.75 + 0) / 2, 12)
    expect(rows.dependability.sample.value).toBeCloseTo((0.25 * Math.SQRT2) / 0.75, 12)
  })
})
