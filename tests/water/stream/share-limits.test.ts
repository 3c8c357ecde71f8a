import fc from 'fast-check'
import { expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { floatFlow } from '../../../domain/water/stream/gauging.ts'
import { permitUse, permitYear, shareOfFlow } from '../../../domain/water/stream/share.ts'

it('what is drawn is told as a part of what flows by in the same day, least by the largest flow', () => {
  // 24 hours of 2, 4 and 5 m3/h are 48, 96 and 120 m3.
  const flowM3PerH = { low: 2, likely: 4, high: 5 }
  expect(shareOfFlow({ drawnM3PerDay: 24, flowM3PerH })).toEqual({ low: 0.2, likely: 0.25, high: 0.5 })
  expect(shareOfFlow({ drawnM3PerDay: 24, flowM3PerH: { ...flowM3PerH, low: 0 } })).toBeNull()
})

it('the year of a permit begins on its day and ends on the day before', () => {
  const year = (on: string) => Object.values(permitYear({ startsOn: '04-01', on }))
  expect(year('2031-04-01')).toEqual(['2031-04-01', '2032-03-31'])
  expect(year('2031-03-31')).toEqual(['2030-04-01', '2031-03-31'])
})

/** Drawn once: the day on which the limit is reached came a day late by a rounded pace. */
const FOUND: [{ ago: number; volumeM3: number }[], number, number][] = [[[{ ago: 0, volumeM3: 28 }], 9, 70]]

it('what a permit leaves is counted day by day: drawn in its year to today, at the pace of four weeks or of the year so far', () => {
  const draws = fc.array(
    fc.record({ ago: fc.integer({ min: -3, max: 60 }), volumeM3: fc.integer({ min: 1, max: 30 }) }),
    {
      maxLength: 12,
    },
  )
  fc.assert(
    fc.property(
      draws,
      fc.integer({ min: 0, max: 50 }),
      fc.integer({ min: 1, max: 200 }),
      (drawn, sinceStart, limitM3) => {
        const today = addDays('2031-04-01', sinceStart)
        const use = permitUse({
          ...{ limitM3, warnPart: 0.5, startsOn: '04-01', today },
          draws: drawn.map(({ ago, volumeM3 }) => ({ drawnOn: addDays(today, -ago), volumeM3 })),
        })
        const onDay = (ago: number) => drawn.reduce((sum, one) => (one.ago === ago ? sum + one.volumeM3 : sum), 0)
        let [drawnM3, lately, days] = [0, 0, 0]
        for (let ago = 0; ago <= sinceStart; ago++) {
          drawnM3 += onDay(ago)
          if (ago >= 28) continue
          lately += onDay(ago)
          days++
        }
        const leftM3 = drawnM3 > limitM3 ? 0 : limitM3 - drawnM3
        expect(use).toMatchObject({ drawnM3, leftM3, part: drawnM3 / limitM3, paceM3PerDay: lately / days })
        expect(use.state).toBe(leftM3 === 0 ? 'reached' : 2 * drawnM3 >= limitM3 ? 'near' : 'within')
        // At that pace, one day after the other until the permit's year is over.
        let reachedOn: string | null = null
        for (let at = 0; reachedOn === null && addDays(today, at) <= '2032-03-31'; at++)
          if (at * lately >= leftM3 * days && (lately > 0 || at > 366)) reachedOn = addDays(today, at)
        expect(use.reachedOn).toBe(reachedOn)
      },
    ),
    { numRuns: 200, examples: FOUND },
  )
  const limit = (limitM3: number) => () =>
    permitUse({ limitM3, warnPart: 1, startsOn: '04-01', today: '2031-05-01', draws: [] })
  expect(limit(0)).toThrow('limit-not-above-zero')
  expect(limit(0.001)().state).toBe('within')
})

/** On 20 June 2031, of a year that ends on 31 March: 285 days are left. Of four weeks' draws, all of them today; counted by hand. */
it.each<[string, { limitM3: number; drawn: number[] }, string, string | null]>([
  // 45 m3 are left at 55 in 28 days: 22.9 days.
  ['a litre under the warning', { limitM3: 100, drawn: [54.999] }, 'within', '2031-07-13'],
  ['just at it, where a machine makes 55.00000000000001 of 55 %', { limitM3: 100, drawn: [55] }, 'near', '2031-07-13'],
  ['a litre under the limit', { limitM3: 100, drawn: [99.999] }, 'near', '2031-06-21'],
  ['the whole limit', { limitM3: 100, drawn: [100] }, 'reached', '2031-06-20'],
  [
    'the whole limit in ten draws of a tenth',
    { limitM3: 1, drawn: Array<number>(10).fill(0.1) },
    'reached',
    '2031-06-20',
  ],
  // A cubic metre a day.
  ['reached on the last day of the year', { limitM3: 28 + 285, drawn: [28] }, 'within', '2032-03-31'],
  ['reached on the first of the next', { limitM3: 28 + 286, drawn: [28] }, 'within', null],
])('a permit that is warned at 55 %% of it: %s', (_, { limitM3, drawn }, state, reachedOn) => {
  const today = '2031-06-20'
  const draws = drawn.map((volumeM3) => ({ drawnOn: today, volumeM3 }))
  expect(permitUse({ limitM3, warnPart: 0.55, startsOn: '04-01', today, draws })).toMatchObject({ state, reachedOn })
})

it('the mean speed of a stream is all of a float’s at most, and more than nothing of it', () => {
  const points = [0, 1].map((offsetM) => ({ offsetM, depthM: 1 }))
  const flow = (surfaceFactor: number) => floatFlow({ lengthM: 10, seconds: [10, 12], points, surfaceFactor })!
  expect(flow(1).flowM3PerH.likely).toBeCloseTo((10 / 11) * 3600, 9)
  for (const factor of [0, 1.001, -0.5]) expect(() => flow(factor)).toThrow('surface-factor-out-of-range')
})
