import { describe, expect, it } from 'vitest'
import { fairnessIndicators } from '../../domain/rotation/fairness/indicators.ts'

/** The indicators of one week in which everyone asked for 1 m3 and got so many. */
const ofAmounts = (amountsM3: number[]) =>
  fairnessIndicators({ requiredM3: [amountsM3.map(() => 1)], deliveredM3: [amountsM3] })

const TOLERANCE = 4 // decimals: the stored answers carry seven figures, the printed ones two

describe('the Jain index', () => {
  // Jain, Chiu and Hawe 1984, DEC-TR-301; the first two as worked in lecture slides on the index, printed 0.77 and 0.79 (verified).
  // "k of n served alike gives k/n" and "all alike gives 1" are properties from the paper (memory); the lower bound 1/n
  // was seen in a secondary article.
  it.each([
    { values: [50 / 50, 30 / 10, 50 / 10], expected: 81 / 105 },
    { values: [1, 4, 5], expected: 0.7936508 },
    { values: [7, 7, 7, 7], expected: 1 },
    { values: [1, 1, 0, 0, 0], expected: 0.4 },
    { values: [10, 0, 0], expected: 0.3333333 },
  ])('of $values is $expected', ({ values, expected }) => {
    expect(ofAmounts(values).jain).toBeCloseTo(expected, TOLERANCE)
  })

  it('of delivered against entitled follows the definition', () => {
    const values = [18 / 20, 24 / 30, 30 / 30, 12 / 20] // derived from the definition
    expect(ofAmounts(values).jain).toBeCloseTo(0.9688612, TOLERANCE)
  })

  it('cannot be said when nobody received anything', () => {
    expect(ofAmounts([0, 0]).jain).toBeNull()
    expect(ofAmounts([]).jain).toBeNull()
  })
})

describe('the Gini coefficient', () => {
  // Formula with its n/(n - 1) correction: "Gini Coefficient", MathWorld (verified); the numbers are derived from it.
  it.each([
    { values: [1, 1, 1, 1], value: 0, smallSample: 0 },
    { values: [0, 0, 0, 1], value: 0.75, smallSample: 1 },
    { values: [1, 2, 3, 4], value: 0.25, smallSample: 0.3333333 },
    { values: [3, 1, 2], value: 0.2222222, smallSample: 0.3333333 },
    { values: [2, 2, 2, 10], value: 0.375, smallSample: 0.5 },
  ])('of $values is $value', ({ values, value, smallSample }) => {
    expect(ofAmounts(values).gini!.value).toBeCloseTo(value, TOLERANCE)
    expect(ofAmounts(values).gini!.smallSample).toBeCloseTo(smallSample, TOLERANCE)
  })

  it('agrees with the sum over all pairs, the other published form', () => {
    const values = [4, 0.5, 7, 7, 1.25, 3]
    let pairs = 0
    for (const a of values) for (const b of values) pairs += Math.abs(a - b)
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length
    expect(ofAmounts(values).gini!.value).toBeCloseTo(pairs / (2 * values.length ** 2 * mean), 12)
  })
})

describe('delivery performance', () => {
  // Molden and Gates 1990, J. Irrig. Drain. Eng. 116(6):804-823: formulas and bands from memory, numbers derived.
  const indicators = fairnessIndicators({
    requiredM3: [
      [100, 80, 60],
      [90, 70, 50],
    ],
    deliveredM3: [
      [95, 80, 45],
      [72, 70, 55],
    ],
  })

  it('gives adequacy and efficiency with their bands', () => {
    expect(indicators.adequacy.value).toBeCloseTo(0.9166667, TOLERANCE)
    expect(indicators.adequacy.band).toBe('good')
    expect(indicators.efficiency.value).toBeCloseTo(0.9848485, TOLERANCE)
    expect(indicators.efficiency.band).toBe('good')
  })

  it('gives equity and dependability under both conventions, which can differ in their band', () => {
    expect(indicators.equity.population.value).toBeCloseTo(0.1245182, TOLERANCE)
    expect(indicators.equity.sample.value).toBeCloseTo(0.152503, TOLERANCE)
    expect(indicators.equity.population.band).toBe('fair')
    expect(indicators.equity.sample.band).toBe('fair')
    expect(indicators.dependability.population.value).toBeCloseTo(0.09163449, TOLERANCE)
    expect(indicators.dependability.sample.value).toBeCloseTo(0.1295907, TOLERANCE)
    expect(indicators.dependability.population.band).toBe('good')
    expect(indicators.dependability.sample.band).toBe('fair')
  })

  it('leaves out pairs with nothing required, and says nothing about an empty season', () => {
    const withIdlePlot = fairnessIndicators({ requiredM3: [[100, 0]], deliveredM3: [[90, 5]] })
    expect(withIdlePlot.adequacy.value).toBeCloseTo(0.9, 12)
    expect(withIdlePlot.dependability.sample.value).toBeNull()
    const empty = fairnessIndicators({ requiredM3: [], deliveredM3: [] })
    expect([empty.adequacy.value, empty.equity.population.band, empty.jain, empty.gini]).toEqual([
      null,
      null,
      null,
      null,
    ])
  })

  it('bands a value in the gap between two printed limits after rounding to two decimals', () => {
    const at = (fraction: number) =>
      fairnessIndicators({ requiredM3: [[1000]], deliveredM3: [[1000 * fraction]] }).adequacy.band
    expect([at(0.896), at(0.894), at(0.796), at(0.794)]).toEqual(['good', 'fair', 'fair', 'poor'])
  })
})

describe('the spread among users', () => {
  it('cannot be said where nobody received anything, and of one user not by n - 1', () => {
    expect(ofAmounts([0, 0]).equity).toEqual({
      population: { value: null, band: null },
      sample: { value: null, band: null },
    })
    const ofOne = ofAmounts([1]).equity
    expect([ofOne.population.value, ofOne.sample.value]).toEqual([0, null])
  })
})
