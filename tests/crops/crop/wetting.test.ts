import fc from 'fast-check'
import { expect, it } from 'vitest'
import { initialCoefficient } from '../../../domain/crops/crop/initial-coefficient.ts'
import {
  applicationEfficiency,
  irrigationMethodByKey,
  methodHint,
} from '../../../domain/crops/data/irrigation-methods.ts'
import { runs } from '../../support/runs.ts'

/** What a surface can give up and what of it comes freely, mm: FAO-56 (1998), Annex 7, for wettings of 10 mm and less, then of 40 mm and more. */
const LIGHT = (etoMm: number) => ({ allMm: 10, freelyMm: Math.min(7, Math.max(2.5, 6 / Math.sqrt(etoMm))) })
const HEAVY = {
  coarse: (etoMm: number) => ({ allMm: Math.min(15, 7 * Math.sqrt(etoMm)), freelyMm: 6 }),
  'fine-or-medium': (etoMm: number) => ({ allMm: Math.min(28, 13 * Math.sqrt(etoMm)), freelyMm: 9 }),
}

/** Dried a thousandth of a day at a time: as fast as wet soil while it comes freely, then slower with what is left. */
function driedBitByBit({ allMm, freelyMm }: { allMm: number; freelyMm: number }, days: number, etoMm: number): number {
  const freely = Math.min(freelyMm, allMm - 0.01)
  const steps = 1000 * days
  let lostMm = 0
  for (let step = 0; step < steps; step++) {
    const part = lostMm < freely ? 1 : Math.max(0, (allMm - lostMm) / (allMm - freely))
    lostMm += (part * 1.15 * etoMm) / 1000
  }
  return lostMm / (days * etoMm)
}

it('a bare soil uses between two wettings what it gives up bit by bit, by how deep and how wide it was wetted', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(0.6, 1, 3, 5.5, 9),
      fc.integer({ min: 1, max: 12 }),
      fc.constantFrom<'coarse' | 'fine-or-medium'>('coarse', 'fine-or-medium'),
      fc.constantFrom(4, 10, 17.5, 25, 40, 60),
      fc.constantFrom(1, 0.4),
      (etoMm, intervalDays, soil, depthMm, wettedFraction) => {
        const light = driedBitByBit(LIGHT(etoMm), intervalDays, etoMm)
        const heavy = driedBitByBit(HEAVY[soil](etoMm), intervalDays, etoMm)
        // The same water on a part of the ground stands deeper there; from 10 to 40 mm evenly from curve to curve.
        const deep = depthMm / wettedFraction
        const kc = deep <= 10 ? light : deep >= 40 ? heavy : (light * (40 - deep) + heavy * (deep - 10)) / 30
        const found = initialCoefficient({ intervalDays, etoMm, soil, depthMm, wettedFraction })!
        expect(found / (wettedFraction * kc)).toBeCloseTo(1, 2)
      },
    ),
    runs(80),
  )
})

it('without demand, depth, days or a wetted part there is no coefficient, and no more than the whole ground is wet', () => {
  const wetting = { intervalDays: 4, etoMm: 5, depthMm: 20, soil: 'coarse' as const, wettedFraction: 1 }
  expect(initialCoefficient(wetting)).toBeGreaterThan(0)
  const wrong = [{ intervalDays: 0 }, { etoMm: 0 }, { depthMm: 0 }, { wettedFraction: 0 }, { wettedFraction: 1.01 }]
  for (const one of wrong) expect(initialCoefficient({ ...wetting, ...one })).toBeNull()
})

it('only tomato under a sprinkler and potato on drip have a hint', () => {
  const hints = ['tomato', 'potato', 'onion'].map((cropKey) =>
    (['drip', 'sprinkler', 'surface', 'hose_or_can'] as const).map((methodKey) => methodHint({ cropKey, methodKey })),
  )
  expect(hints).toEqual([
    [null, 'prefers-dry-leaves', null, null],
    ['prefers-sprinkler', null, null, null],
    [null, null, null, null],
  ])
})

it('what is meant to wash the ground does not stay with the roots', () => {
  const method = irrigationMethodByKey('surface')!
  const { low, likely, high } = method.efficiency
  expect(applicationEfficiency({ method })).toEqual({ low, likely, high })
  const washed = applicationEfficiency({ method, washingPart: 0.25 })
  expect([washed.low / low, washed.likely / likely, washed.high / high]).toEqual(
    Array(3).fill(expect.closeTo(0.75, 12)),
  )
})
