import { describe, expect, it } from 'vitest'
import { linePlace, seasonFairness } from '../../../domain/rotation/fairness/season.ts'

/** Three plots on one weir, two weeks; every figure below is worked by hand. */
const plots = [
  { id: 'a', linePlace: 'head' as const, weirIds: ['w'], groups: ['tenants'] },
  { id: 'b', linePlace: 'middle' as const, weirIds: ['w'], groups: [] },
  { id: 'c', linePlace: 'tail' as const, weirIds: ['w'], groups: ['tenants', 'women'] },
]
const weeks = [
  { weekStartOn: '2026-06-01', entitledM3: { a: 5, b: 5, c: 5 }, receivedM3: { a: 5, b: 5, c: 2 } },
  { weekStartOn: '2026-06-08', entitledM3: { a: 5, b: 5, c: 5 }, receivedM3: { a: 6, b: 4.5, c: 3 } },
]
const sure = (measuredM3: number, uncertaintyM3: number) => ({ measuredM3, estimatedM3: 0, uncertaintyM3 })
const received = { a: sure(11, 0.5), b: sure(9.5, 0.5), c: sure(5, 0.25) }

describe('received against entitled', () => {
  it('adds up by plot, place on the line, weir and holder group', () => {
    const season = seasonFairness({ plots, weeks, received })
    expect(season.plots.map((line) => [line.plotId, line.entitledM3, line.receivedM3])).toEqual([
      ['a', 10, 11],
      ['b', 10, 9.5],
      ['c', 10, 5],
    ])
    expect(season.all.level).toBeCloseTo(25.5 / 30, 12)
    expect(season.byLine.map((line) => [line.name, line.level])).toEqual([
      ['head', 1.1],
      ['middle', 0.95],
      ['tail', 0.5],
    ])
    expect(season.byWeir.map((line) => [line.name, line.plots, line.receivedM3])).toEqual([['w', 3, 25.5]])
    expect(season.byGroup.map((line) => [line.name, line.plots, line.receivedM3])).toEqual([
      ['tenants', 2, 16],
      ['women', 1, 5],
    ])
  })

  it('says that there is no difference under a tenth or under the measuring error', () => {
    const season = seasonFairness({ plots, weeks, received })
    // 11 of 10 is a tenth exactly, 9.5 half of that; 5 of 10 is far beyond.
    expect(season.plots.map((line) => line.difference)).toEqual(['none', 'none', 'less'])
    const unsure = seasonFairness({ plots, weeks, received: { ...received, c: sure(5, 6) } })
    expect(unsure.plots[2]!.difference).toBe('none')
  })

  it('takes a tenth for a tenth, whatever was due, and a litre more than it for a difference', () => {
    const found = (dueM3: number, receivedLitres: number) =>
      seasonFairness({
        plots: [plots[0]!],
        weeks: [{ weekStartOn: '2026-06-01', entitledM3: { a: dueM3 }, receivedM3: { a: receivedLitres / 1000 } }],
        received: {},
      }).plots[0]!.difference
    const due = Array.from({ length: 60 }, (_, at) => at + 1)
    const all = (more: number) => [...new Set(due.map((dueM3) => found(dueM3, 1000 * dueM3 + more * dueM3 * 100)))]
    expect([all(1), all(-1)]).toEqual([['none'], ['none']])
    const beyond = (sign: number) => [
      ...new Set(due.map((dueM3) => found(dueM3, 1000 * dueM3 + sign * (100 * dueM3 + 1)))),
    ]
    expect([beyond(1), beyond(-1)]).toEqual([['more'], ['less']])
  })

  it('holds each group against the level of all plots', () => {
    // All: 0.85. Head 11 against 8.5 is 2.5 more of 10; tail 5 against 8.5 is 3.5 less; tenants 16 against 17 is within a tenth of 20.
    const season = seasonFairness({ plots, weeks, received })
    expect(season.byLine.map((line) => line.difference)).toEqual(['more', 'none', 'less'])
    expect(season.byGroup.map((line) => line.difference)).toEqual(['none', 'less'])
  })

  it('reckons the measures over plots and weeks', () => {
    const { indicators } = seasonFairness({ plots, weeks, received })
    // min(1, received / due): 1, 1, 0.4, 1, 0.9, 0.6; their mean is 4.9 / 6.
    expect(indicators.adequacy.value).toBeCloseTo(4.9 / 6, 12)
    expect(indicators.adequacy.band).toBe('fair')
    // Jain of 1.1, 0.95, 0.5: 2.55^2 / (3 (1.21 + 0.9025 + 0.25)).
    expect(indicators.jain).toBeCloseTo(2.55 ** 2 / (3 * 2.3625), 12)
  })

  it('leaves out plots to which nothing was due', () => {
    const more = [...plots, { id: 'd', linePlace: null, weirIds: ['w'], groups: [] }]
    expect(seasonFairness({ plots: more, weeks, received }).plots).toHaveLength(3)
    expect(seasonFairness({ plots, weeks: [], received: {} }).all.level).toBeNull()
  })

  it.each([
    [1, 3, 'head'],
    [2, 3, 'middle'],
    [3, 3, 'tail'],
    [2, 6, 'head'],
    [4, 6, 'middle'],
    [5, 6, 'tail'],
    [1, 1, 'tail'],
  ])('puts place %i of %i at the %s', (position, last, place) => {
    expect(linePlace({ position, last })).toBe(place)
  })
})
