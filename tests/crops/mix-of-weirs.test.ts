import { expect, it } from 'vitest'
import { storageModel } from '../../domain/water/path/store.ts'
import { wedgeSandBody } from '../../domain/water/sand/body.ts'
import { ceilingOf, type WaterForPlanting } from '../../server/crops/planting/ceiling.ts'
import type { SeasonNeeds } from '../../server/crops/season/need.ts'

const ON = '2026-06-04'

const body = wedgeSandBody({
  ...{ crestLevelM: 100, crestHeightM: 2, crestWidthM: 15, bedSlope: 0.01, valleyShape: 'rectangle' },
  specificYield: { low: 0.22, likely: 0.26, high: 0.3 },
})
const held = { store: storageModel({ body, offTakeLevelM: 98.5, loss: { dailyM3: 0 } }), storedM3: 500 }
const cases = { low: held, likely: held, high: held }
const water = { fromOn: ON, lateRainOn: '2026-08-01', extraWeeks: 0, dailyDrinkingM3: 0, cases }
const weir = (id: string) => ({ state: { weir: { id }, on: ON }, cannotSay: [], water, liftM3: null, pumps: [] })

const onBoth = [
  { weirId: 'upper', flowM3PerH: 2 },
  { weirId: 'lower', flowM3PerH: 2 },
]
const outlets: Record<string, typeof onBoth> = { both: onBoth, upper: onBoth.slice(0, 1) }

/** Declared ground that asks so many mm in its one day to come, and that many m3 a square metre in all. */
const declared = (plotId: string, areaM2: number, netMm: number, [low, likely, high]: [number, number, number]) => ({
  ...{ plan: { tranche: 1 }, plot: { id: plotId }, areaM2, efficiency: { low: 1, likely: 1, high: 1 } },
  need: { netMm, days: [{ date: ON, netMm }], grossM3PerM2: { low, likely, high } },
})

it('a square metre of a weir asks what its plots ask there, a plot on two weirs by its part of the outlets', () => {
  const plans = [declared('both', 200, 300, [0.2, 0.4, 0.6]), declared('upper', 100, 500, [0.5, 0.5, 0.5])]
  const ceiling = ceilingOf(
    {
      weirs: [weir('upper'), weir('lower')],
      outletsOf: ({ id }: { id: string }) => outlets[id],
      ...{ weeks: 8, isKnown: true },
    } as unknown as WaterForPlanting,
    { months: [], plans } as unknown as SeasonNeeds,
  )!
  const [upper, lower] = ceiling.weirs.map(({ mix }) => mix)
  // Half of the plot on both is 100 m2 at the upper weir, beside the other 100 m2: the mean of the two crops.
  for (const [key, m3] of Object.entries({ low: 0.35, likely: 0.45, high: 0.55 }))
    expect(upper!.seasonM3PerM2[key as 'low'], key).toBeCloseTo(m3, 9)
  expect(upper!.needsM3PerM2[0]).toBeCloseTo(0.4, 9)
  for (const [key, m3] of Object.entries({ low: 0.2, likely: 0.4, high: 0.6 }))
    expect(lower!.seasonM3PerM2[key as 'low'], key).toBeCloseTo(m3, 9)
  expect(lower!.needsM3PerM2[0]).toBeCloseTo(0.3, 9)
  // All declared ground together: 200 m2 at 0.4 and 100 m2 at 0.5.
  expect(ceiling.needM3.likely).toBeCloseTo(130, 9)
})
