import { describe, expect, it } from 'vitest'
import { before } from '../before.ts'
import { levelM, lossM3PerDay, storedM3, storeOf } from '../sand.ts'
import { judged, KINDS } from '../table.ts'
import { relativeYield, TRUE_CROPS } from './crops.ts'
import { equalHours, noReserve } from './habits.ts'
import { ours } from './ours.ts'
import { perfectKnowledge } from './perfect.ts'
import { runSeason } from './season.ts'
import { trueSeason } from './valley.ts'

const SEEDS = [2001, 2002]

describe('the true valley', () => {
  const sand = {
    heightM: 2,
    shape: 1,
    bulkM3: 1500,
    upperYield: 0.25,
    lowerYield: 0.25,
    borderM: 1,
    dryingDepthM: 0.4,
    leakM3PerDayPerM: 0,
  }

  it('holds as much water as the wedge of a channel of constant width', () => {
    // W H L / 2 x yield with H 2 m, W 15 m, L 100 m; at half height a quarter of it (wedge geometry).
    const store = storeOf(sand)
    expect(store.fullM3).toBeCloseTo(375, 6)
    expect(storedM3(store, 1)).toBeCloseTo(93.75, 1)
    expect(levelM(store, storedM3(store, 1.37))).toBeCloseTo(1.37, 6)
  })

  it('gives off what is quoted of open water from sand, by depth', () => {
    // Hellwig 1973 as commonly quoted (memory): half at 0.3 m, a tenth at 0.6 m, near nothing at 1 m.
    const store = storeOf({ ...sand, shape: 0 })
    const share = (depthM: number) => lossM3PerDay(store, 2 - depthM, 10) / lossM3PerDay(store, 2, 10)
    expect(share(0.3)).toBeGreaterThan(0.4)
    expect(share(0.3)).toBeLessThan(0.65)
    expect(share(0.6)).toBeLessThan(0.2)
    expect(share(1)).toBeLessThan(0.03)
  })

  it('loses yield as FAO-33 says for a season short of water throughout', () => {
    // Maize, Ky 1.25: a fifth less evapotranspiration costs a quarter of the yield; in flowering, Ky 1.5, three tenths.
    const maize = TRUE_CROPS.find(({ key }) => key === 'maize_sweet')!
    const full = Float64Array.of(100, 100, 100, 100)
    const throughout = Float64Array.of(80, 100, 60, 80)
    expect(relativeYield(maize, throughout, full, 0)).toBeCloseTo(0.75, 9)
    expect(relativeYield(maize, Float64Array.of(100, 80, 100, 100), full, 0)).toBeCloseTo(0.7, 9)
  })

  it('is the same for the same seed', () => {
    const twice = [1, 2].map(() => runSeason(trueSeason('tight', 5), noReserve))
    expect(twice[0]).toEqual(twice[1])
  })
})

describe.each(KINDS)('a season of kind %s', (kind) => {
  const perfect = judged(kind, SEEDS, perfectKnowledge)
  const plan = judged(kind, SEEDS, () => ours)

  it('is met by no plan better than by the one that knows the truth', () => {
    for (const other of [equalHours, noReserve, before, ours]) {
      expect(judged(kind, SEEDS, () => other).meanYield).toBeLessThan(perfect.meanYield)
    }
    expect(perfect.dryWeirDays).toBe(0)
  })

  it('has drinking water on every day under our plan', () => {
    expect(plan.dryWeirDays).toBe(0)
  })

  it('brings more home under our plan than under any habit or the formula before it', () => {
    for (const other of [equalHours, noReserve, before])
      expect(judged(kind, SEEDS, () => other).meanYield).toBeLessThan(plan.meanYield)
    expect(plan.meanYield).toBeGreaterThan(0.8 * perfect.meanYield)
    expect(plan.worstYield).toBeGreaterThan(0.5 * perfect.worstYield)
  })

  it('gives little that only drains', () => {
    expect(plan.drainedPart).toBeLessThan({ ample: 0.1, tight: 0.06, drought: 0.03 }[kind])
  })
})
