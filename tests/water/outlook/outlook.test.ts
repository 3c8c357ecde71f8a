import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../../domain/random.ts'
import { specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import { safeWeeklyAbstractionM3, storageOutlook } from '../../../domain/water/outlook/outlook.ts'
import { fitRecharge } from '../../../domain/water/outlook/recharge.ts'
import {
  drawTraces,
  type OutlookInput,
  type OutlookWeir,
  prepareWeirs,
  type RainYear,
  runStream,
} from '../../../domain/water/outlook/traces.ts'
import { daysOfCover } from '../../../domain/water/path/cover.ts'
import { wedgeSandBody, withLevelVolumeTable } from '../../../domain/water/sand/body.ts'
import { drainableStorageM3, stageStorageCurve } from '../../../domain/water/sand/storage.ts'
import { runs } from '../../support/runs.ts'

const body = wedgeSandBody({
  crestHeightM: 2,
  crestWidthM: 15,
  bedSlope: 0.006,
  valleyShape: 'parabola',
  crestLevelM: 100,
  specificYield: specificYieldOf('medium-sand'),
})
const weirOf = (more: Partial<OutlookWeir> = {}): OutlookWeir => ({
  weirId: 'upper',
  feedsWeirId: null,
  body,
  offTakeLevelM: 98.3,
  waterLevelM: 99.7,
  levelErrorCm: 2,
  loss: { fallCmPerDay: 0.1, measuredAtLevelM: 99.7 },
  rise: 1,
  extraWeeks: 0,
  leakShare: 0,
  dailyDrinkingM3: 0.5,
  weeklyIrrigationM3: 8,
  rechargeM3PerMm: 1.5,
  rechargeFromMm: 8,
  ...more,
})

/** Invented years: storms come in from the middle of October, some years early, some poor. */
function rainYearsOf(count: number): RainYear[] {
  const random = seededRandom(11)
  return Array.from({ length: count }, (_, y) => {
    const wetness = 0.5 + random()
    const firstDay = 270 + Math.floor(40 * random())
    const rainMm = Array.from({ length: 365 }, (_, day) =>
      day >= firstDay && random() < 0.2 ? 40 * wetness * random() : 0,
    )
    return { name: String(2001 + y), rainMm }
  })
}

const input = (more: Partial<OutlookInput> = {}): OutlookInput => ({
  weirs: [weirOf()],
  today: '2025-07-01',
  seasonEndOn: '2025-11-30',
  lateRainOn: '2025-12-01',
  rainYears: rainYearsOf(14),
  seed: 5,
  traces: 200,
  ...more,
})

function bandsOf(more: Partial<OutlookInput> = {}) {
  const outlook = storageOutlook(input(more))
  if (outlook.cannotSay || outlook.kind !== 'bands') expect.fail('no bands')
  return outlook.weirs
}

const safeOf = (more: Partial<OutlookInput> = {}, holdsIn = 0.9, weirId = 'upper') => {
  const safe = safeWeeklyAbstractionM3({ ...input(more), weirId, holdsIn })
  if (safe.cannotSay || safe.kind !== 'quantile') expect.fail('no quantile')
  return safe.safeWeeklyM3
}

describe('the outlook', () => {
  it('is the same for the same seed and another for another', () => {
    expect(bandsOf()).toEqual(bandsOf())
    expect(bandsOf({ seed: 6 })).not.toEqual(bandsOf())
  })

  it('orders its bands on every day to the end of the season', () => {
    const [upper] = bandsOf()
    expect(upper!.bands).toHaveLength(153)
    expect(upper!.bands.at(-1)!.date).toBe('2025-11-30')
    for (const band of upper!.bands) {
      expect(band.tenM3).toBeLessThanOrEqual(band.fiftyM3)
      expect(band.fiftyM3).toBeLessThanOrEqual(band.ninetyM3)
    }
    expect(upper!.chanceAboveReserve).toBeGreaterThan(0)
    expect(upper!.chanceAboveReserve).toBeLessThan(1)
  })

  it('never gives less water for more rain, nor more for a larger plan', () => {
    const wetter = input().rainYears.map((year) => ({ ...year, rainMm: year.rainMm.map((mm) => mm * 1.5) }))
    const [plain, wet] = [bandsOf()[0]!, bandsOf({ rainYears: wetter })[0]!]
    const thirsty = bandsOf({ weirs: [weirOf({ weeklyIrrigationM3: 16 })] })[0]!
    plain.bands.forEach((band, day) => {
      expect(wet.bands[day]!.tenM3).toBeGreaterThanOrEqual(band.tenM3 - 1e-6)
      expect(thirsty.bands[day]!.tenM3).toBeLessThanOrEqual(band.tenM3 + 1e-6)
    })
    expect(thirsty.chanceAboveReserve).toBeLessThanOrEqual(plain.chanceAboveReserve)
  })

  it('begins in its middle where the days of cover begin, however lopsided the doubt of the sand', () => {
    const guessed = withLevelVolumeTable({
      body,
      rows: stageStorageCurve({ body, stepM: 0.1 }).map(({ levelM, likelyM3 }) => ({
        levelM,
        lowM3: likelyM3 / 2,
        likelyM3,
        highM3: 2.4 * likelyM3,
      })),
      grade: 'guessed',
    })
    const weirs = [weirOf({ body: guessed })]
    const [cover] = daysOfCover({ weirs, today: '2025-07-01', lateRainOn: '2025-12-01' })
    const begin = bandsOf({ weirs, traces: 500 })[0]!.bands[0]!
    const toOne = (m3: number, of: number) => Math.abs(m3 / of - 1)
    expect(toOne(begin.fiftyM3, cover!.middle.weeks[0]!.availableM3)).toBeLessThan(0.005)
    expect(begin.tenM3).toBeGreaterThan(cover!.cautious.weeks[0]!.availableM3)
    expect(begin.ninetyM3).toBeLessThan(cover!.hopeful.weeks[0]!.availableM3)
  })

  it('says on which day seasons fall below the line, or that they do not', () => {
    const rich = bandsOf({
      weirs: [weirOf({ weeklyIrrigationM3: 0, dailyDrinkingM3: 0.05, loss: { dailyM3: 0 } })],
    })[0]!
    expect(rich.chanceAboveReserve).toBe(1)
    expect(rich.firstBelow).toEqual({ tenOn: null, fiftyOn: null, ninetyOn: null })
    const poor = bandsOf({ weirs: [weirOf({ waterLevelM: 98.5 })] })[0]!
    expect(poor.chanceAboveReserve).toBe(0)
    expect(poor.firstBelow.tenOn).toBe('2025-07-01')
  })

  it('gives no percentages from fewer than ten rain years, but the years by name', () => {
    const outlook = storageOutlook(input({ rainYears: rainYearsOf(9) }))
    if (outlook.cannotSay || outlook.kind !== 'years') expect.fail('expected the years')
    expect(outlook.years.map((year) => year.name)).toEqual(rainYearsOf(9).map((year) => year.name))
    expect(outlook.years[0]!.weirs[0]!.availableM3).toHaveLength(153)
    expect(storageOutlook(input({ rainYears: [] }))).toEqual({ cannotSay: ['no-rain-years'] })
  })

  it('refuses a year with days missing', () => {
    expect(() => storageOutlook(input({ rainYears: [{ name: '2001', rainMm: [1, 2] }] }))).toThrow(
      expect.objectContaining({ code: 'rain-year-too-short' }),
    )
  })
})

it('makes no water in any trace: what is in the stream at the end came from the start or from rain', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 1e6 }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: -0.2, max: 1, noNaN: true }),
      (seed, leakShare, fallCmPerDay) => {
        const lower = weirOf({ weirId: 'lower', waterLevelM: 99 })
        const given = input({
          seed,
          traces: 3,
          weirs: [lower, weirOf({ feedsWeirId: 'lower', leakShare, loss: { fallCmPerDay, measuredAtLevelM: 99.7 } })],
        })
        const prepared = prepareWeirs(given)
        for (const trace of drawTraces(given)) {
          const factors = prepared.map((one) => trace.sandFactor(one))
          const startM3 = prepared.reduce((sum, one, i) => sum + one.startM3.likely * factors[i]!, 0)
          const rainM3 = 2 * trace.rainMm.reduce((sum, mm) => sum + 1.5 * Math.max(0, mm - 8), 0)
          runStream(prepared, trace, (_, run) => {
            expect(run.availableM3.at(-1)!).toBeLessThanOrEqual(startM3 + rainM3 + 1e-6)
            expect(run.availableM3.every((m3) => m3 >= 0)).toBe(true)
          })
        }
      },
    ),
    runs(40),
  )
})

describe('the safe weekly volume', () => {
  it('is a tank without rain or loss shared over its days, found by hand', () => {
    const sand = { ...body, layers: [{ toDepthM: null, specificYield: { low: 0.25, likely: 0.25, high: 0.25 } }] }
    const rows = stageStorageCurve({ body: sand, stepM: 0.01 }).map(({ levelM, likelyM3 }) => {
      return { levelM, lowM3: likelyM3, likelyM3, highM3: likelyM3 }
    })
    const known = withLevelVolumeTable({ body: sand, rows, grade: 'calibrated' })
    const tank = weirOf({ loss: { dailyM3: 0 }, dailyDrinkingM3: 0, levelErrorCm: 0, body: known })
    const dry = input().rainYears.map((year) => ({ ...year, rainMm: year.rainMm.map(() => 0) }))
    const [outlook] = bandsOf({ weirs: [{ ...tank, weeklyIrrigationM3: 0 }], rainYears: dry })
    const availableM3 = outlook!.bands[0]!.fiftyM3
    // With no reserve any volume holds, so the ceiling is what the sand holds; with drinking, the line decides.
    const drinking = { ...tank, dailyDrinkingM3: 1 }
    const safeM3 = safeOf({ weirs: [drinking], rainYears: dry })
    const at = (waterLevelM: number) => drainableStorageM3({ body: tank.body, waterLevelM }).likelyM3
    const marginM3 = at(98.35) - at(98.3)
    // After n days: available - n (1 + w / 7) >= margin + a week's drinking at least, tightest on the last morning, n = 152.
    expect(Math.abs(safeM3 - (7 * (availableM3 - marginM3 - 159)) / 152)).toBeLessThan(0.02)
  })

  it('leaves people their water after the late date of rain too', () => {
    // Near the end of a season, the late date past: four weeks of drinking stay, and steady means four weeks at least.
    const late = { today: '2025-12-20', seasonEndOn: '2025-12-24', lateRainOn: '2025-12-01' }
    const weir = weirOf({ loss: { dailyM3: 0 }, dailyDrinkingM3: 2, extraWeeks: 4 })
    const rainYears = input().rainYears.map((year) => ({ ...year, rainMm: year.rainMm.map(() => 0) }))
    const [outlook] = bandsOf({ ...late, rainYears, weirs: [{ ...weir, weeklyIrrigationM3: 0 }] })
    expect(outlook!.bands).toHaveLength(28)
    expect(outlook!.bands.every((band) => band.reserveM3 > 56)).toBe(true)
    const safeM3 = safeOf({ ...late, rainYears, weirs: [weir] })
    expect(4 * safeM3).toBeLessThan(outlook!.bands[0]!.fiftyM3 - 28 * 2)
  })

  it('is nothing when the water is already below the line', () => {
    expect(safeOf({ weirs: [weirOf({ waterLevelM: 98.5 })] })).toBe(0)
  })

  it('is smaller the more seasons must bear it', () => {
    expect(safeOf({}, 0.95)).toBeLessThanOrEqual(safeOf({}, 0.8))
    expect(safeOf({}, 0.8)).toBeLessThanOrEqual(safeOf({}, 0.5))
  })

  it('then holds in that share of the seasons, by the outlook itself', () => {
    const weeklyIrrigationM3 = safeOf({}, 0.9)
    expect(weeklyIrrigationM3).toBeGreaterThan(0)
    const chance = bandsOf({ weirs: [weirOf({ weeklyIrrigationM3 })] })[0]!.chanceAboveReserve
    expect(Math.abs(chance - 0.9)).toBeLessThanOrEqual(0.015)
  })

  it('grows below a weir that leaks to it, whose own plan stays', () => {
    const lower = weirOf({ weirId: 'lower', waterLevelM: 99.6 })
    const alone = safeOf({ weirs: [weirOf({ feedsWeirId: 'lower', loss: { dailyM3: 0.5 } }), lower] }, 0.9, 'lower')
    const fed = safeOf(
      { weirs: [weirOf({ feedsWeirId: 'lower', loss: { dailyM3: 0.5 }, leakShare: 1 }), lower] },
      0.9,
      'lower',
    )
    expect(fed).toBeGreaterThan(alone)
  })

  it('comes year by year from a short record', () => {
    const safe = safeWeeklyAbstractionM3({ ...input({ rainYears: rainYearsOf(3) }), weirId: 'upper' })
    expect(safe).toMatchObject({ kind: 'years', years: [{ name: '2001' }, { name: '2002' }, { name: '2003' }] })
  })
})

describe('recharge from rain', () => {
  const stretch = (fromOn: string, toOn: string, rechargeM3: number, closingM3 = 300) => ({
    kind: 'wet' as const,
    fromOn,
    toOn,
    closingM3,
    rechargeM3,
  })
  const rain = [
    { fellOn: '2025-11-02', rainMm: 28 },
    { fellOn: '2025-11-03', rainMm: 5 },
    { fellOn: '2025-11-09', rainMm: 18 },
  ]

  it('is the gain of the wet stretches over the rain beyond the mark', () => {
    const stretches = [stretch('2025-11-01', '2025-11-08', 40), stretch('2025-11-08', '2025-11-15', 20)]
    expect(fitRecharge({ stretches, rain, rechargeFromMm: 8, fullM3: 700 })).toEqual({
      rechargeM3PerMm: 2,
      rechargeFromMm: 8,
      stretches: 2,
    })
  })

  it('leaves out a stretch that ended full, and says nothing from none', () => {
    const stretches = [stretch('2025-11-01', '2025-11-08', 40), stretch('2025-11-08', '2025-11-15', 60, 700)]
    expect(fitRecharge({ stretches, rain, rechargeFromMm: 8, fullM3: 700 })!.rechargeM3PerMm).toBe(2)
    expect(fitRecharge({ stretches: [], rain, rechargeFromMm: 8, fullM3: 700 })).toBeNull()
  })
})
