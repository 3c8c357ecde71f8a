import fc from 'fast-check'
import { expect, it } from 'vitest'
import { fittedLoss } from '../../../domain/water/path/loss-from-rests.ts'
import { runs } from '../../support/runs.ts'

// 1,000 m3 to each metre over a bed at 100 m, from which open water would give 24 m3 a day.
const curve = {
  ...{ bedLevelM: 100, crestLevelM: 102, specificYield: 0.25 },
  storedM3: (levelM: number) => 1000 * (levelM - 100),
}
/** Levels, and how much of open water's evaporation the quoted table leaves there (memory). */
const PLACES = [
  { levelM: 101.8, sandM3: 24 * 0.64 },
  { levelM: 101.2, sandM3: 24 * 0.05 },
  { levelM: 100.6, sandM3: 0 },
]
const rest = fc.record({
  place: fc.constantFrom(...PLACES),
  lossM3: fc.double({ min: -6, max: 14, noNaN: true }),
  days: fc.integer({ min: 1, max: 9 }),
})
type Drawn = typeof rest extends fc.Arbitrary<infer T> ? T : never

/** Two readings that each err by a centimetre and a half: so many m3 a day. */
const deviationM3 = ({ days }: Drawn) => (10 * 1.5 * Math.SQRT2) / days
const found = (drawn: readonly Drawn[]) =>
  fittedLoss(curve, {
    openWaterMm: 6,
    rests: drawn.map(({ place: { levelM }, lossM3, days }) => {
      const half = (lossM3 * days) / 2000
      return { startLevelM: levelM + half, endLevelM: levelM - half, days }
    }),
  })

/**
 * How far two figures are from what is expected (the quoted evaporation, give or take two fifths; seven ten-thousandths of the store
 * a day, give or take twice that) and from every rest, each in its own deviations, squared and summed.
 */
const misfit = (drawn: readonly Drawn[], times: number, leakM3PerM: number, expected = [1, 0.7]) =>
  ((times - expected[0]!) / 0.4) ** 2 +
  ((leakM3PerM - expected[1]!) / 1.4) ** 2 +
  drawn.reduce((sum, one) => {
    const tells = expected[0] === 0 ? 0 : one.lossM3
    return sum + ((times * one.place.sandM3 + leakM3PerM * (one.place.levelM - 100) - tells) / deviationM3(one)) ** 2
  }, 0)

const BANKS_ABOVE = [
  ...Array.from({ length: 12 }, () => ({ place: PLACES[2]!, lossM3: 1, days: 9 })),
  { place: PLACES[0]!, lossM3: -3, days: 9 },
]

it('evaporation and leak are the two that miss the rests and what is expected least, and neither makes water', () => {
  let bounds = 0
  fc.assert(
    fc.property(fc.array(rest, { maxLength: 6 }), (drawn) => {
      const { evaporationTimes, leakPart } = found(drawn)
      expect(Math.min(evaporationTimes, leakPart)).toBeGreaterThanOrEqual(0)
      if (Math.min(evaporationTimes, leakPart) === 0) bounds++
      // Where the rests speak for far more leak than expected, the expectation gives way.
      fc.pre(leakPart <= 0.0021)
      const here = misfit(drawn, evaporationTimes, 1000 * leakPart)
      for (let turn = 0; turn < 24; turn++) {
        const angle = (turn / 24) * 2 * Math.PI
        const times = Math.max(0, evaporationTimes + 1e-3 * Math.cos(angle))
        const leakM3PerM = Math.max(0, 1000 * leakPart + 1e-3 * Math.sin(angle))
        expect(misfit(drawn, times, leakM3PerM)).toBeGreaterThanOrEqual(here - 1e-9)
      }
    }),
    // Banks that give near the surface while the sand leaks below: no evaporation, and the leak by itself.
    { ...runs(150), examples: [[BANKS_ABOVE]] },
  )
  expect(bounds).toBeGreaterThan(0)
  expect(found(BANKS_ABOVE).evaporationTimes).toBe(0)
  expect(found(BANKS_ABOVE).leakPart).toBeGreaterThan(0)
  expect(found([])).toMatchObject({ evaporationTimes: expect.closeTo(1, 12), leakPart: expect.closeTo(0.0007, 12) })
})

it('a quarter of the deviation that is left is added: how far both figures may go before they miss by one more', () => {
  fc.assert(
    fc.property(fc.array(rest, { maxLength: 4 }), fc.constantFrom(...PLACES), (drawn, { levelM, sandM3 }) => {
      const gentle = drawn.map((one) => ({ ...one, lossM3: one.place.sandM3 + 0.7 * (one.place.levelM - 100) }))
      const reach = (angle: number) => {
        const [times, leak] = [Math.cos(angle), Math.sin(angle)]
        return Math.abs(times * sandM3 + leak * (levelM - 100)) / Math.sqrt(misfit(gentle, times, leak, [0, 0]))
      }
      const step = Math.PI / 2000
      const rough = Array.from({ length: 2000 }, (_, at) => at * step).reduce((best, at) =>
        reach(at) > reach(best) ? at : best,
      )
      const fine = Array.from({ length: 400 }, (_, at) => rough + ((at - 200) / 200) * step)
      expect(found(gentle).at(levelM).cautionM3 / (0.25 * Math.max(...fine.map(reach)))).toBeCloseTo(1, 4)
    }),
    runs(30),
  )
})
