import { describe, expect, it } from 'vitest'
import { fitRecession, lossParts, type Rest, senseOfFall } from '../../../domain/water/loss/recession.ts'

/** Rests that each fall by so many centimetres in so many days, each from a level of its own. */
const rests = (...of: [cm: number, days: number][]): Rest[] =>
  of.map(([cm, days], at) => ({ startLevelM: 101 + at, endLevelM: 101 + at - cm / 100, days }))

describe('the fall on rests', () => {
  it('is all centimetres over all days, its error that of a ratio', () => {
    const found = fitRecession({ rests: rests([2, 1], [3, 2], [1, 1]) })!
    expect(found.fallCmPerDay).toBeCloseTo(1.5, 9)
    // Missed by 0.5, 0 and -0.5: the root of 0.5 over 2, times 3, over four days.
    expect(found.standardErrorCmPerDay).toBeCloseTo(Math.sqrt(0.75) / 4, 9)
    expect(found).toMatchObject({ rests: 3, restDays: 4, isEnough: false, sense: 'falls', recession: null })
    expect(fitRecession({ rests: [] })).toBeNull()
    expect(fitRecession({ rests: rests([2, 1]) })!.standardErrorCmPerDay).toBeNull()
    expect(() => fitRecession({ rests: rests([2, 1], [2, 0]) })).toThrow('days-not-above-zero')
  })

  it('is enough from five rests on, and a rise is believed beyond two errors', () => {
    const risen = (cm: number, count: number) =>
      fitRecession({ rests: rests(...Array.from({ length: count }, (): [number, number] => [-cm, 4])) })!
    // Five rests of their own err by the root of ten centimetres over twenty days: 0.158, twice that is 0.316.
    expect([risen(1.27, 5).sense, risen(1.26, 5).sense]).toEqual(['banks-return', 'cannot-tell'])
    expect([risen(9, 4).sense, risen(9, 4).isEnough, risen(9, 5).isEnough]).toEqual(['cannot-tell', false, true])
    expect(risen(0, 5).sense).toBe('falls')
  })

  it('of rests that follow each other has the error of two readings alone', () => {
    const chain: Rest[] = Array.from({ length: 5 }, (_, at) => ({
      startLevelM: 101 + at * 0.01,
      endLevelM: 101 + (at + 1) * 0.01,
      days: 4,
    }))
    const levels = chain.map((rest, at) => (at === 0 ? rest : { ...rest, startLevelM: chain[at - 1]!.endLevelM }))
    // The root of two over twenty days is 0.0707: a rise of 0.25 cm a day is beyond twice that.
    expect(fitRecession({ rests: levels })!.sense).toBe('banks-return')
    const apart = levels.map((rest, at) => ({
      ...rest,
      startLevelM: rest.startLevelM + at,
      endLevelM: rest.endLevelM + at,
    }))
    expect(fitRecession({ rests: apart })!.sense).toBe('cannot-tell')
  })

  it('halves the head over the stop in its half-life, and says nothing where a level is at the stop', () => {
    const half = (startLevelM: number, days: number): Rest => ({
      startLevelM,
      endLevelM: 100 + (startLevelM - 100) / 2 ** (days / 10),
      days,
    })
    const found = fitRecession({ rests: [half(102, 5), half(101, 20)], stopLevelM: 100 })!.recession!
    expect(found.halfLifeDays).toBeCloseTo(10, 9)
    expect(found.kPerDay).toBeCloseTo(Math.LN2 / 10, 9)
    // One of half-life 10 for 10 days, one of half-life 20 for 20: weighed by the squares of their days, one to four.
    const slow = { startLevelM: 102, endLevelM: 101, days: 20 }
    const both = fitRecession({ rests: [half(102, 10), slow], stopLevelM: 100 })!.recession!
    expect(both.kPerDay).toBeCloseTo((Math.LN2 / 10 + (4 * Math.LN2) / 20) / 5, 9)
    expect(both.halfLifeDays).toBeCloseTo(Math.LN2 / both.kPerDay, 9)
    for (const at of [
      { startLevelM: 102, endLevelM: 100, days: 3 },
      { startLevelM: 100, endLevelM: 102, days: 3 },
    ])
      expect(fitRecession({ rests: [at], stopLevelM: 100 })!.recession).toBeNull()
    expect(
      fitRecession({ rests: [half(102, 5), { startLevelM: 100, endLevelM: 99, days: 9 }], stopLevelM: 100 })!.recession!
        .halfLifeDays,
    ).toBeCloseTo(10, 9)
  })
})

it('a fall is believed as such, a return only beyond twice its error', () => {
  expect([senseOfFall(0, null), senseOfFall(-0.4, 0.2), senseOfFall(-0.41, 0.2), senseOfFall(-9, null)]).toEqual([
    ...['falls', 'cannot-tell', 'banks-return', 'cannot-tell'],
  ])
})

it('evaporation is told in water level by the yield, the rest is leak or what banks give', () => {
  const parts = (fallCmPerDay: number, specificYield: number) =>
    lossParts({ fallCmPerDay, sandEvaporationMmPerDay: 2, specificYield })
  expect(parts(2, 0.25)).toEqual({ fallCmPerDay: 2, evaporationCmPerDay: 0.8, remainderCmPerDay: 1.2 })
  expect(parts(0.5, 0.25).remainderCmPerDay).toBeCloseTo(-0.3, 12)
  for (const wrong of [0, 1]) expect(() => parts(1, wrong)).toThrow('specific-yield-out-of-range')
})
