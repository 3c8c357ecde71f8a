import { expect, it } from 'vitest'
import { restsOf } from '../../../domain/water/loss/rests.ts'
import { boxBody } from '../path/tank.ts'

/** In a box of 320 m3 to the metre a centimetre is 3.2 m3. */
const rest = (openingLevelM: number, closingLevelM: number, handDrawnM3 = 0, more: object = {}) => {
  const stretch = { kind: 'dry', fromOn: '2025-06-05', toOn: '2025-06-12', days: 7, pumpedM3: 0 }
  const found = restsOf({
    stretches: [{ ...stretch, openingLevelM, closingLevelM, handDrawnM3, ...more } as never],
    body: boxBody(),
  })
  return found.map(({ startLevelM, endLevelM, fallCm }) => [startLevelM, endLevelM, fallCm])
}
const close = (...of: number[]) => [of.map((value) => expect.closeTo(value, 4))]

it('a rest is a dry stretch of which nothing was pumped, with what was drawn by hand put back', () => {
  expect(rest(101, 100.9)).toEqual(close(101, 100.9, 10))
  expect(rest(101, 100.9, 12.8)).toEqual(close(101, 100.94, 6))
  expect(rest(100.9, 101, 12.8)).toEqual(close(100.9, 101.04, -14))
  expect(rest(102, 101.99, 320)).toEqual([])
  expect(rest(101, 100.9, 0, { kind: 'wet' })).toEqual([])
  expect(rest(101, 100.9, 0, { kind: 'wet', pumpedM3: 2 })).toEqual([])
  expect(rest(101, 100.9, 0, { pumpedM3: 0.001 })).toEqual([])
})

it('a rest says nothing where more than half of its fall was put back, but for a centimetre that any reading errs by', () => {
  expect(rest(101, 100.9, 15.9)).toHaveLength(1)
  expect(rest(101, 100.9, 16.1)).toEqual([])
  expect(rest(101, 100.999, 3.1)).toHaveLength(1)
  expect(rest(101, 100.999, 3.3)).toEqual([])
  expect(rest(100.9, 101, 16.1)).toEqual([])
})
