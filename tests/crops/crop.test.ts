import { describe, expect, it } from 'vitest'
import { cropCoefficient } from '../../domain/crops/crop/coefficient.ts'
import { coveredCurve } from '../../domain/crops/crop/ground-cover.ts'
import { initialCoefficient } from '../../domain/crops/crop/initial-coefficient.ts'
import { mulchedCurve } from '../../domain/crops/crop/mulch.ts'
import { seasonLengthDays, stagePeriods } from '../../domain/crops/crop/stages.ts'
import { CROPS } from '../../domain/crops/data/crops.ts'
import { applicationEfficiency, irrigationMethodByKey, methodHint } from '../../domain/crops/data/irrigation-methods.ts'
import { soilByKey } from '../../domain/crops/data/soils.ts'
import { STAGE_LENGTHS } from '../../domain/crops/data/stage-lengths.ts'
import { plantable, SOIL_KEYS } from './plot.ts'

const METHOD_KEYS = ['drip', 'sprinkler', 'surface', 'hose_or_can']

describe('the tables', () => {
  it('hold the fifty-nine printed crops and a kitchen garden, each once, within believable limits', () => {
    expect(CROPS.filter(({ status }) => status === 'verified')).toHaveLength(59)
    expect(new Set(CROPS.map((crop) => crop.key)).size).toBe(60)
    for (const crop of CROPS) {
      for (const kc of [crop.kcIni, crop.kcMid, crop.kcEnd]) expect(kc > 0.1 && kc < 1.3).toBe(true)
      expect(crop.rootDepthMinM).toBeLessThan(crop.rootDepthMaxM)
      expect(crop.depletionFraction > 0.1 && crop.depletionFraction < 0.8).toBe(true)
    }
  })

  it('take the stages of each crop from a printed row of that crop', () => {
    for (const key of new Set(STAGE_LENGTHS.map((row) => row.cropKey))) {
      const rows = STAGE_LENGTHS.filter((row) => row.cropKey === key).map((row) => row.stageDays)
      expect(rows).toContainEqual(plantable(key).stageDays)
    }
  })

  it('differ from the printed totals only where the source contradicts itself', () => {
    const slips = STAGE_LENGTHS.filter((row) => seasonLengthDays(row.stageDays) !== row.totalPrintedDays)
    expect(slips.map((row) => row.cropKey).sort()).toEqual(['cowpea', 'maize_sweet', 'sorghum_grain', 'sorghum_grain'])
  })

  it('order every range of soil and method, and hold the printed available water of sand', () => {
    for (const soil of SOIL_KEYS.map((key) => soilByKey(key)!)) {
      const ranges = [soil.fieldCapacity, soil.wiltingPoint, soil.availableMmPerM, soil.evaporableMm]
      for (const { low, likely, high } of ranges) expect(low < likely && likely < high).toBe(true)
      expect(soil.wiltingPoint.high).toBeLessThan(soil.fieldCapacity.high)
    }
    expect(soilByKey('sand')!.availableMmPerM).toEqual({ low: 50, likely: 80, high: 110 })
    for (const { efficiency } of METHOD_KEYS.map((key) => irrigationMethodByKey(key)!)) {
      expect(efficiency.low < efficiency.likely && efficiency.likely < efficiency.high && efficiency.high < 1).toBe(
        true,
      )
    }
  })

  it('lower the efficiency of a clogged drip and leave a can alone', () => {
    const drip = irrigationMethodByKey('drip')!
    expect(applicationEfficiency({ method: drip, state: 'clogged' }).high).toBeLessThanOrEqual(drip.efficiency.low)
    const can = irrigationMethodByKey('hose_or_can')!
    expect(applicationEfficiency({ method: can, state: 'clogged' })).toEqual(can.efficiency)
  })

  it('hint at methods against the habit of a crop', () => {
    expect(methodHint({ cropKey: 'tomato', methodKey: 'sprinkler' })).toBe('prefers-dry-leaves')
    expect(methodHint({ cropKey: 'potato', methodKey: 'sprinkler' })).toBeNull()
  })
})

describe('the stage curve', () => {
  it('starts again after each cutting of a crop that repeats, and ends with one that does not', () => {
    const hay = { crop: plantable('alfalfa_hay'), plantedOn: '2026-03-01' }
    const first = cropCoefficient({ ...hay, date: '2026-03-18' })
    expect(cropCoefficient({ ...hay, repeats: true, date: '2026-04-17' })).toEqual(first)
    expect(cropCoefficient({ ...hay, date: '2026-04-17' })).toBeNull()
  })

  it('repeats by the year: a vine that leafs in April is in its middle each July and rests bare in winter', () => {
    const vine = { crop: plantable('grape_table'), plantedOn: '2021-04-01', repeats: true }
    for (const year of [2021, 2022, 2024, 2026, 2031]) {
      expect(cropCoefficient({ ...vine, date: `${year}-07-10` })).toMatchObject({ stage: 'mid-season', kc: 0.85 })
      // FAO-56 (1998), notes of Table 12: about 0.20 after leaf drop on bare dry soil.
      expect(cropCoefficient({ ...vine, date: `${year}-12-24` })).toMatchObject({ stage: 'resting', kc: 0.2 })
    }
    const periods = stagePeriods({ ...vine, stageDays: vine.crop.stageDays }, '2026-07-10')
    expect(periods.map(({ from }) => from.slice(0, 7))).toEqual(['2026-04', '2026-04', '2026-06', '2026-09'])
    const olive = cropCoefficient({ ...vine, crop: plantable('olive'), date: '2022-02-01' })
    expect(olive).toMatchObject({ stage: 'resting', kc: 0.7 })
  })

  it('is cut down for young trees by what they shade, and never above its printed values', () => {
    const tree = plantable('apple_no_cover')
    // Equation 98 with a tenth in shade: 2 x 0.1; grown: 0.6 to the power of 1 / (1 + 4).
    const young = coveredCurve(tree, { coverFraction: 0.1, heightM: 1.5 })
    expect(young.kcMid).toBeCloseTo(0.15 + (0.8 * 0.2) / 0.6 ** 0.2, 12)
    expect(coveredCurve(tree, { coverFraction: 0.9, heightM: 4 })).toEqual(tree)
    expect(coveredCurve(tree, null)).toBe(tree)
  })

  it('is lower over mulch, most of all at the start, and as printed over bare ground', () => {
    const tomato = plantable('tomato')
    expect(mulchedCurve(tomato, { kind: 'none', coverFraction: 1 })).toBe(tomato)
    // FAO-56 (1998), chapter 10, from memory: 5 per cent less evaporation for each 10 per cent covered; film 10 to 30 per cent.
    const straw = mulchedCurve(tomato, { kind: 'straw', coverFraction: 1 })
    expect(straw.kcIni).toBeCloseTo(0.15 + 0.45 / 2, 12)
    expect(1 - straw.kcMid / tomato.kcMid).toBeLessThan(0.05)
    const film = mulchedCurve(tomato, { kind: 'film', coverFraction: 1 })
    for (const kc of ['kcIni', 'kcMid', 'kcEnd'] as const) {
      expect(1 - film[kc] / tomato[kc]).toBeGreaterThanOrEqual(0.1)
      expect(1 - film[kc] / tomato[kc]).toBeLessThanOrEqual(0.3)
    }
  })

  it('never leaves the span of its three values', () => {
    for (const crop of CROPS) {
      if (!crop.stageDays) continue
      const values = [crop.kcIni, crop.kcMid, crop.kcEnd]
      for (let month = 1; month <= 12; month++) {
        const date = `2026-${String(month).padStart(2, '0')}-20`
        const found = cropCoefficient({ crop: { ...crop, stageDays: crop.stageDays }, plantedOn: '2026-01-01', date })
        if (!found) continue
        expect(found.kc).toBeGreaterThanOrEqual(Math.min(...values) - 1e-12)
        expect(found.kc).toBeLessThanOrEqual(Math.max(...values) + 1e-12)
      }
    }
  })

  it('begins at the value from the wetting frequency where that is told', () => {
    const bean = { crop: plantable('bean_dry'), plantedOn: '2026-03-01', kcIniByWetting: 0.8 }
    expect(cropCoefficient({ ...bean, date: '2026-03-05' })!.kc).toBe(0.8)
    // Day 20, the fifth of twenty-five of development: a fifth of the way from 0.8 to 1.15.
    expect(cropCoefficient({ ...bean, date: '2026-03-20' })!.kc).toBeCloseTo(0.87, 12)
  })

  it('refuses stages that are not whole days', () => {
    const crop = { ...plantable('tomato'), stageDays: [30, 40.5, 40, 25] as const }
    expect(() => cropCoefficient({ crop, plantedOn: '2026-01-01', date: '2026-01-02' })).toThrow('stage-days-wrong')
  })

  it('wets less of the ground under drip, so the initial value falls', () => {
    const wetting = { intervalDays: 3, etoMm: 5, depthMm: 12, soil: 'coarse' } as const
    const whole = initialCoefficient(wetting)!
    const drip = initialCoefficient({ ...wetting, wettedFraction: 0.35 })!
    expect(drip).toBeLessThan(whole)
    expect(initialCoefficient({ ...wetting, intervalDays: 0 })).toBeNull()
  })
})
