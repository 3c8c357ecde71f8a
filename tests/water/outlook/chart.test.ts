import fc from 'fast-check'
import { expect, it } from 'vitest'
import { outlookChart } from '../../../domain/water/outlook/chart.ts'
import { runs } from '../../support/runs.ts'

const DATES = Array.from({ length: 11 }, (_, day) => `2026-0${day < 4 ? 6 : 7}-${day < 4 ? 27 + day : `0${day - 3}`}`)
const line = (name: string, ...valuesM3: number[]) => ({ name, valuesM3 })

it('stands between 44 and 12 of its width and 14 and 26 of its height, days and water evenly spread', () => {
  const rising = line('rising', ...DATES.map((_, day) => day * 50))
  const chart = outlookChart({ dates: DATES, lines: [rising, line('short', 500, 0)] })
  expect(chart.plot).toEqual({ left: 44, right: 388, top: 14, bottom: 194 })
  // 344 wide over ten days, 180 high over 500 m3: 34.4 a day, 18 for 50 m3.
  expect(chart.lines[0]!.points.split(' ').slice(0, 3)).toEqual(['44,194', '78.4,176', '112.8,158'])
  expect(chart.lines[0]).toMatchObject({ endX: 388, endY: 14 })
  expect(chart.lines[1]).toEqual({ name: 'short', points: '44,14 78.4,194', endX: 78.4, endY: 194 })
  expect(chart.months).toEqual([{ x: 181.6, date: '2026-07-01' }])
  expect(chart.steps).toEqual([0, 100, 200, 300, 400, 500].map((m3, at) => ({ m3, y: 194 - 36 * at })))
  expect(chart.band).toBeNull()
})

it('has a band from its first line along and its second back, and room for what only the band reaches', () => {
  const { band, steps } = outlookChart({
    dates: DATES.slice(0, 2),
    lines: [line('middle', 20, 20)],
    bandBetween: [line('low', 0, 10), line('high', 50, 40)],
    width: 156,
    height: 140,
  })
  expect(band).toBe('44,114 144,94 144,34 44,14')
  expect(steps.at(-1)).toEqual({ y: 14, m3: 50 })
})

it('of no water has one step above its ground, and of one day stands at its left', () => {
  const dry = outlookChart({ dates: DATES, lines: [line('dry', 0, 0)] })
  expect(dry.steps).toEqual([
    { y: 194, m3: 0 },
    { y: 14, m3: 1 },
  ])
  expect(dry.lines[0]!.points).toBe('44,194 78.4,194')
  expect(outlookChart({ dates: DATES.slice(0, 1), lines: [line('one', 1)] }).lines[0]!.points).toBe('44,14')
})

it('has steps of one, two or five tens, the finest of which at most five reach all the water', () => {
  const nice = [-2, -1, 0, 1, 2, 3, 4].flatMap((power) => [1, 2, 5].map((times) => times * 10 ** power))
  const water = fc.oneof(
    fc.constantFrom(...nice.slice(0, -6).map((step) => 5 * step)),
    fc.double({ min: 0.1, max: 9000, noNaN: true }),
  )
  fc.assert(
    fc.property(water, (mostM3) => {
      const { steps } = outlookChart({ dates: DATES, lines: [line('one', mostM3)] })
      const stepM3 = steps[1]!.m3
      const finest = nice.find((step) => mostM3 <= 5 * step)!
      expect(Math.abs(stepM3 / finest - 1)).toBeLessThan(1e-9)
      expect(steps).toHaveLength(1 + Math.ceil(mostM3 / finest))
      steps.forEach(({ y, m3 }, at) => {
        expect(m3).toBeCloseTo(at * stepM3, 9)
        expect(Math.abs(y - (194 - (180 * at) / (steps.length - 1)))).toBeLessThan(0.06)
      })
    }),
    runs(200),
  )
})
