import { describe, expect, it } from 'vitest'
import { fairnessIndicators } from '../../../domain/rotation/fairness/indicators.ts'
import { linePlace, seasonFairness } from '../../../domain/rotation/fairness/season.ts'
import { holds, wishesMet } from '../../../domain/rotation/fairness/wishes-met.ts'

const measures = (requiredM3: number[][], deliveredM3: number[][]) => fairnessIndicators({ requiredM3, deliveredM3 })

describe('the measures of a season', () => {
  it('are of what came of what was due, not of volumes', () => {
    // 3 of 4 and 1 of 2: mean 5/8, off it by 1/8 each way; twice the volumes say the same.
    for (const times of [1, 2]) {
      const { equity, adequacy, efficiency } = measures([[4 * times, 2 * times]], [[3 * times, 1 * times]])
      expect(equity.population.value).toBeCloseTo(1 / 5, 12)
      expect(equity.sample.value).toBeCloseTo(Math.SQRT2 / 5, 12)
      expect([adequacy.value, efficiency.value]).toEqual([0.625, 1])
    }
    expect(measures([[4, 2, 5]], [[5, 4, 0]]).efficiency.value).toBeCloseTo((0.8 + 0.5 + 1) / 3, 12)
  })

  it('leave out who was due nothing all the time', () => {
    const withIdle = measures(
      [
        [4, 0, 3],
        [2, 0, 3],
      ],
      [
        [3, 0, 1],
        [1, 0, 2],
      ],
    )
    const without = measures(
      [
        [4, 3],
        [2, 3],
      ],
      [
        [3, 1],
        [1, 2],
      ],
    )
    expect(withIdle).toEqual(without)
    expect(withIdle.jain).toBeCloseTo((4 / 6 + 1 / 2) ** 2 / (2 * (4 / 9 + 1 / 4)), 12)
  })

  it('say nothing where there is nothing to tell, and have no band then', () => {
    const NONE = { value: null, band: null }
    const empty = measures([], [])
    expect([empty.adequacy, empty.efficiency, empty.equity.population, empty.dependability.sample]).toEqual(
      Array(4).fill(NONE),
    )
    const one = measures([[4]], [[3]])
    expect([one.equity.sample, one.equity.population]).toEqual([NONE, { value: 0, band: 'good' }])
    expect(measures([[4, 2]], [[0, 0]]).equity.population).toEqual(NONE)
    expect([measures([[4]], [[0]]).jain, measures([[4]], [[0]]).gini]).toEqual([null, null])
  })

  it('refuse what does not match step by step, or is less than nothing anywhere', () => {
    const wrong: [number[][], number[][]][] = [
      [[[1, 2]], [[1]]],
      [[[1], [2]], [[1]]],
      [
        [[1, 2], [1]],
        [
          [1, 2],
          [1, 2],
        ],
      ],
      [[[1, -1]], [[1, 1]]],
      [[[1, 1]], [[-1, 1]]],
    ]
    for (const [required, delivered] of wrong) expect(() => measures(required, delivered)).toThrow(RangeError)
  })
})

describe('what plots received against what was due', () => {
  const plot = (id: string, linePlace: 'head' | 'tail' | null = null) => ({ id, linePlace, weirIds: ['w'], groups: [] })
  const week = (entitledM3: Record<string, number>, receivedM3: Record<string, number> = {}) => ({
    ...{ weekStartOn: '2026-06-01', entitledM3, receivedM3 },
  })

  it('names a plot that was due something in any week, and no part of a line without one', () => {
    const season = seasonFairness({
      plots: [plot('a', 'head'), plot('b'), plot('c', 'tail')],
      weeks: [week({ a: 4 }), week({ b: 3 })],
      received: {},
    })
    expect(season.plots.map(({ plotId }) => plotId)).toEqual(['a', 'b'])
    expect(season.byLine.map(({ name, plots }) => [name, plots])).toEqual([['head', 1]])
  })

  it('has a place for every plot of a line, by thirds, and none beyond its ends', () => {
    expect([1, 2, 3, 4, 5, 6, 7].map((position) => linePlace({ position, last: 7 }))).toEqual([
      'head',
      'head',
      'middle',
      'middle',
      'tail',
      'tail',
      'tail',
    ])
    for (const position of [0, 8, Number.NaN]) expect(() => linePlace({ position, last: 7 })).toThrow(RangeError)
  })

  it('has no level and tells no difference before anything was due', () => {
    const { all, plots } = seasonFairness({ plots: [plot('a')], weeks: [week({ a: 0 })], received: {} })
    expect([plots, all.level, all.difference]).toEqual([[], null, null])
  })
})

describe('a wish for hours', () => {
  const at = (on: string, startMinute: number, endMinute: number) => ({ on, startMinute, endMinute })
  const [MONDAY, TUESDAY] = ['2026-06-01', '2026-06-02']
  const hours = { weekday: null, fromHour: 7, toHour: 9.1 }

  it('is met by a turn that lies in it to the minute', () => {
    expect(holds(hours, at(MONDAY, 420, 546))).toBe(true)
    expect(holds(hours, at(MONDAY, 419, 546))).toBe(false)
    expect(holds(hours, at(MONDAY, 420, 547))).toBe(false)
  })

  it('is of its weekday or its day alone, where it has one', () => {
    const days = (wish: object) =>
      [MONDAY, TUESDAY].map((on) => holds({ ...hours, ...wish } as typeof hours, at(on, 430, 500)))
    expect(days({})).toEqual([true, true])
    expect(days({ weekday: 2 })).toEqual([false, true])
    expect(days({ on: MONDAY })).toEqual([true, false])
    expect(days({ on: MONDAY, weekday: 2 })).toEqual([true, false])
  })

  it('counts for plots that had a turn, and is met by one turn in one wish of the same plot', () => {
    const wish = (plotId: string, fromHour: number) => ({ plotId, weekday: null, fromHour, toHour: fromHour + 2 })
    const turn = (plotId: string, hour: number) => ({
      plotId,
      on: MONDAY,
      startMinute: hour * 60,
      endMinute: hour * 60 + 60,
    })
    const wishes = [wish('a', 7), wish('a', 15), wish('b', 7), wish('c', 7)]
    expect(wishesMet({ wishes, turns: [turn('a', 15), turn('a', 20), turn('b', 15), turn('d', 7)] })).toEqual({
      wished: 2,
      met: 1,
    })
    expect(wishesMet({ wishes, turns: [turn('b', 8), turn('c', 8)] })).toEqual({ wished: 2, met: 2 })
    expect(wishesMet({ wishes, turns: [turn('b', 15)] })).toEqual({ wished: 1, met: 0 })
    expect(wishesMet({ wishes, turns: [] })).toEqual({ wished: 0, met: 0 })
  })
})
