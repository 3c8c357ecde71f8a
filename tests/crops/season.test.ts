import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { stagePeriods } from '../../domain/crops/crop/stages.ts'
import { seedBedMm } from '../../domain/crops/need/seed-bed.ts'
import type { CropPlan } from '../../domain/crops/plan.ts'
import type { PlantingWater } from '../../domain/crops/planting/plantable-area.ts'
import { plantableAreaM2 } from '../../domain/crops/planting/plantable-area.ts'
import { tapedArea } from '../../domain/crops/planting/taped-area.ts'
import { seasonCalendar } from '../../domain/crops/season/calendar.ts'
import { seasonNeed, weeklyGrossM3 } from '../../domain/crops/season/need.ts'
import { sensitivityOrder } from '../../domain/crops/season/sensitivity-order.ts'
import { tank } from '../water/path/tank.ts'
import { plan, plantable } from './plot.ts'

const exact = (value: number) => ({ low: value, likely: value, high: value })

/** A box of 320 m3 to the metre of level with its floor at 80 m3; nothing is lost; 1 m3 drunk a day, ten weeks and four. */
function box(storedM3: { low: number; likely: number; high: number }, dailyDrinkingM3 = 0): PlantingWater {
  const of = (m3: number) => ({ store: tank(), storedM3: m3 })
  const cases = { low: of(storedM3.low), likely: of(storedM3.likely), high: of(storedM3.high) }
  return { fromOn: '2026-07-01', lateRainOn: '2026-09-09', extraWeeks: 4, dailyDrinkingM3, cases }
}
/** Half a cubic metre to each square metre over ten weeks. */
const NEEDS = Array.from({ length: 10 }, () => 0.05)

describe('how much may be planted', () => {
  it('divides what is left of the store by the need of a square metre', () => {
    // 640 - 80 - 98 days of drinking at 1 m3 = 462; drinking may be a tenth more: 452.2 on the cautious side.
    const area = plantableAreaM2({ water: box(exact(640), 1), needsM3PerM2: NEEDS, needParts: exact(1) })
    expect(area.likelyM2).toBeCloseTo(924, 1)
    expect(area.firstTrancheM2).toBeCloseTo(904.4, 1)
    expect(area).toMatchObject({ method: 'root-of-squares', heldBy: 'water' })
  })

  it('combines the doubts as the root of squares while they stay within 30 per cent', () => {
    // 500 m3 above the floor, a tenth less or more; the need a fourth more or a fifth less: a fifth less or a fourth more ground.
    const water = box({ low: 530, likely: 580, high: 630 })
    const area = plantableAreaM2({ water, needsM3PerM2: NEEDS, needParts: { low: 0.8, likely: 1, high: 1.25 } })
    expect(area.likelyM2).toBeCloseTo(1000, 1)
    expect(area.firstTrancheM2).toBeCloseTo(1000 * (1 - Math.hypot(0.1, 0.2)), 1)
    expect(area.firstTrancheM2 + area.secondTrancheM2).toBeCloseTo(1000, 1)
    expect(area.highM2).toBeCloseTo(1000 * (1 + Math.hypot(0.1, 0.25)), 1)
  })

  it('takes the corner above 30 per cent, down to nothing', () => {
    const needParts = { low: 0.7, likely: 1, high: 4 / 3 }
    const area = plantableAreaM2({ water: box({ low: 230, likely: 480, high: 600 }), needsM3PerM2: NEEDS, needParts })
    expect(area.method).toBe('corner')
    expect(area.firstTrancheM2).toBeCloseTo(150 / (0.5 * (4 / 3)), 1)
    const poor = plantableAreaM2({ water: box({ low: 60, likely: 180, high: 300 }), needsM3PerM2: NEEDS, needParts })
    expect(poor.firstTrancheM2).toBe(0)
    const none = plantableAreaM2({ water: box({ low: 40, likely: 70, high: 180 }), needsM3PerM2: NEEDS, needParts })
    expect(none).toMatchObject({ likelyM2: 0, firstTrancheM2: 0, method: 'nothing-left' })
    expect(none.highM2).toBeCloseTo(100 / 0.35, 1)
  })

  it('counts only the weeks to the late date of rain', () => {
    const water = { ...box(exact(580)), lateRainOn: '2026-08-05' }
    // Five of ten weeks: 500 m3 over a quarter of a cubic metre.
    expect(plantableAreaM2({ water, needsM3PerM2: NEEDS, needParts: exact(1) }).likelyM2).toBeCloseTo(2000, 1)
  })

  it('takes off in full what is declared beside, and stops at what the pumps lift', () => {
    const input = { water: box(exact(580)), needsM3PerM2: NEEDS, needParts: exact(1) }
    const besideM3 = Array.from({ length: 10 }, () => 20)
    expect(plantableAreaM2({ ...input, besideM3 }).likelyM2).toBeCloseTo(600, 1)
    // 45 m3 a week less 20 beside: 25 over 0.05.
    const liftM3 = Array.from({ length: 10 }, () => 45)
    expect(plantableAreaM2({ ...input, besideM3, liftM3 })).toMatchObject({
      likelyM2: expect.closeTo(500, 6),
      firstTrancheM2: expect.closeTo(500, 6),
      heldBy: 'pump',
    })
  })

  it('more drinking never allows more, and the first tranche never passes the likely area', () => {
    const m3 = fc.integer({ min: 0, max: 210 })
    fc.assert(
      fc.property(m3, m3, m3, fc.double({ min: 0, max: 4, noNaN: true }), (a, b, c, drunkM3) => {
        const stored = { low: a, likely: a + b, high: a + b + c }
        const needParts = { low: 0.8, likely: 1, high: 1.3 }
        const of = (dailyM3: number) => plantableAreaM2({ water: box(stored, dailyM3), needsM3PerM2: NEEDS, needParts })
        const area = of(drunkM3)
        expect(area.firstTrancheM2).toBeGreaterThanOrEqual(0)
        expect(area.firstTrancheM2).toBeLessThanOrEqual(area.likelyM2 + 1e-9)
        expect(of(drunkM3 + 1).likelyM2).toBeLessThanOrEqual(area.likelyM2 + 1e-2)
      }),
    )
  })

  it('is nothing for a crop that is thirsty only after the late date of rain', () => {
    const water = { ...box(exact(580)), lateRainOn: '2026-07-15' }
    expect(plantableAreaM2({ water, needsM3PerM2: [0, 0, 0.05], needParts: exact(1) })).toMatchObject({
      likelyM2: 0,
      method: 'nothing-left',
    })
  })

  it('refuses a crop that needs nothing', () => {
    const none = { water: box(exact(580)), needsM3PerM2: [0], needParts: exact(1) }
    expect(() => plantableAreaM2(none)).toThrow('season-need-not-above-zero')
  })
})

const months = Array.from({ length: 12 }, () => ({
  ...{ etoMmPerDay: 5, errorFraction: 0.2, from: 'month-table' as const, days: 0 },
}))
const SOIL = { low: 110, likely: 130, high: 150 }
const season = (change: Partial<CropPlan> = {}, input: Partial<Parameters<typeof seasonNeed>[0]> = {}) =>
  seasonNeed({
    plan: plan(change),
    fromOn: '2026-01-01',
    seasonEndOn: '2026-12-31',
    months,
    efficiency: exact(0.8),
    availableMmPerM: SOIL,
    ...input,
  })

describe('the need of a season', () => {
  // 30 days at 0.6; development sums to 40 x 0.6 + 0.55 x 20.5; 40 at 1.15; late sums to 25 x 1.15 - 0.35 x 13.
  const USE_MM = 5 * (18 + (24 + 0.55 * 20.5) + 46 + (28.75 - 0.35 * 13))

  it('is the area under the stage curve times the demand, and the water of a bed of 0.2 m that a dry month has left bare', () => {
    const need = season()
    expect(need.bedMm).toBeGreaterThan(25)
    expect(need.bedMm).toBeLessThanOrEqual(0.2 * 130)
    expect(need.netMm - need.bedMm).toBeCloseTo(USE_MM, 9)
    expect(need.grossM3PerM2.likely).toBeCloseTo(need.netMm / 1000 / 0.8, 9)
    expect(need.days).toHaveLength(135)
  })

  it('is off by its demand and coefficient together on what the crop uses, and by what its bed may hold', () => {
    const guessed = months.map((month) => ({ ...month, errorFraction: 0.4 }))
    for (const soil of [exact(130), { low: 40, likely: 130, high: 400 }]) {
      const need = season({}, { months: guessed, availableMmPerM: soil })
      const bed = seedBedMm({ plan: plan(), availableMmPerM: soil, efficiency: exact(0.8), days: [], on: '2026-01-01' })
      const useDoubtMm = need.useMm * Math.sqrt(0.15 ** 2 + 0.4 ** 2)
      const lowMm = need.netMm - Math.sqrt(useDoubtMm ** 2 + (bed.likely - bed.low) ** 2)
      const highMm = need.netMm + Math.sqrt(useDoubtMm ** 2 + (bed.high - bed.likely) ** 2)
      expect(need.grossM3PerM2.low).toBeCloseTo(lowMm / 800, 9)
      expect(need.grossM3PerM2.high).toBeCloseTo(highMm / 800, 9)
    }
  })

  it('of a crop that stands already has no bed, shrinks from day to day and is nothing after harvest', () => {
    expect(season({}, { fromOn: '2026-01-31' })).toMatchObject({ bedMm: 0 })
    expect(season({}, { fromOn: '2026-01-31' }).netMm).toBeCloseTo(USE_MM - 30 * 0.6 * 5, 9)
    expect(season({}, { fromOn: '2026-05-16' })).toMatchObject({ netMm: 0, grossM3PerM2: exact(0) })
  })

  it('goes on through the cuttings of hay up to its end or that of the season, and stops at an early harvest', () => {
    const hay = (harvestedOn?: string) =>
      season({ crop: plantable('alfalfa_hay'), repeats: true, ...(harvestedOn ? { harvestedOn } : {}) })
    expect(hay('2026-03-31').netMm).toBeCloseTo(3 * hay('2026-01-30').netMm, 9)
    expect(hay().days.at(-1)!.date).toBe('2026-12-31')
    expect(season({ harvestedOn: '2026-01-10' }, { fromOn: '2026-01-02' }).netMm).toBeCloseTo(9 * 0.6 * 5, 9)
  })

  it('follows the group in its own coefficients', () => {
    const own = season({ kcIniByWetting: 0.9 }, { fromOn: '2026-01-02' }).netMm
    // 29 days of 0.3 more, and half of that through the 40 days of development less its last: 0.3 x 19.5.
    expect(own - season({}, { fromOn: '2026-01-02' }).netMm).toBeCloseTo(5 * 0.3 * (29 + 19.5), 9)
  })

  it('refuses a table without twelve months', () => {
    expect(() => season({}, { months: months.slice(2) })).toThrow('month-table-wrong')
  })

  it('falls week by week into the same sum, on the ground of each day', () => {
    const { days, grossM3PerM2 } = season()
    const input = { days, efficiency: exact(0.8), fromOn: '2026-01-01', weeks: 20 }
    const weeks = weeklyGrossM3({ ...input, areaM2: 400 })
    expect(weeks.reduce((total, week) => total + week, 0)).toBeCloseTo(400 * grossM3PerM2.likely, 9)
    // The eleventh to the fifteenth week are all mid-season: 7 x 1.15 x 5 mm.
    expect(weeks[11]).toBeCloseTo((400 * 40.25) / 1000 / 0.8, 9)
    const shared = weeklyGrossM3({ ...input, areaM2: (date) => (date < '2026-03-01' ? 200 : 400) })
    expect(shared[0]).toBeCloseTo(weeks[0]! / 2, 9)
    expect(shared[11]).toBeCloseTo(weeks[11]!, 9)
    const five = weeklyGrossM3({ ...input, areaM2: 400, weekDays: 5, weeks: 1 })
    expect(five[0]).toBeCloseTo(weeks[0]! - (400 * 2 * 0.6 * 5) / 1000 / 0.8, 9)
  })
})

it('ranks who suffers most from a cut, ties sharing a rank', () => {
  const plot = (
    id: string,
    stage: 'initial' | 'development' | 'mid-season' | 'late-season',
    factor: number | null,
  ) => ({
    ...{ id, stage, yieldResponse: factor, perennial: id === 'tree' },
  })
  const order = sensitivityOrder({
    plots: [
      plot('ripening maize', 'late-season', 1.25),
      plot('growing maize', 'development', 1.25),
      plot('tree', 'late-season', 1.2),
      plot('flowering tomato', 'mid-season', 1.05),
      plot('flowering carrot', 'mid-season', null),
      plot('another carrot', 'mid-season', null),
    ],
  })
  expect(order.map((one) => [one.id, one.rank])).toEqual([
    ['tree', 1],
    ['flowering tomato', 2],
    ['another carrot', 3],
    ['flowering carrot', 3],
    ['growing maize', 5],
    ['ripening maize', 6],
  ])
  expect(order[2]).toMatchObject({ why: 'flowering-and-fruit-set', factorAssumed: true })
  const why = (['initial', 'development', 'mid-season', 'late-season'] as const).map(
    (stage) => sensitivityOrder({ plots: [plot('one', stage, 1)] })[0]!.why,
  )
  expect(why).toEqual(['seedling', 'growing', 'flowering-and-fruit-set', 'ripening'])
  expect([order[0]!.why, order[0]!.factorAssumed]).toEqual(['perennial', false])
})

describe('the season calendar', () => {
  const need = season({ plantedOn: '2026-01-05' }, { fromOn: '2026-01-05' })
  const plans = ['a', 'b'].map((id) => ({ id, areaM2: 400, efficiency: 0.8, days: need.days }))

  it('adds up to the need of the season and shows the weeks that the pumps cannot lift', () => {
    const weeks = seasonCalendar({ plans, rhythm: { firstWeekday: 1, marketWeeks: [] }, weeklyLiftM3: 35 })
    const total = weeks.reduce((sum, week) => sum + week.grossM3, 0)
    expect(total).toBeCloseTo(2 * 400 * need.grossM3PerM2.likely, 9)
    // 1.15 x 5 mm x 7 days x 800 m2 / 0.8 = 40.25 m3 in a week of mid-season; the first takes 0.6 / 1.15 of it.
    expect(Math.max(...weeks.slice(1).map((week) => week.overLiftM3))).toBeCloseTo(5.25, 9)
    // 0.2 m of bed hold 26 mm, so the week of sowing is the thirstiest of all.
    expect(weeks[0]!.startsOn).toBe('2026-01-05')
    expect(weeks[0]!.overLiftM3).toBeCloseTo(21 + need.bedMm - 35, 9)
    expect(weeks[0]!.grossM3).toBeCloseTo(21 + need.bedMm, 9)
  })

  it('draws the stages from date to date, cut at an early harvest', () => {
    const season = { stageDays: [30, 40, 40, 25] as const, plantedOn: '2026-01-01' }
    expect(stagePeriods(season).at(-1)).toEqual({ stage: 'late-season', from: '2026-04-21', to: '2026-05-15' })
    expect(stagePeriods({ ...season, harvestedOn: '2026-02-03' })).toEqual([
      { stage: 'initial', from: '2026-01-01', to: '2026-01-30' },
      { stage: 'development', from: '2026-01-31', to: '2026-02-03' },
    ])
  })
})

describe('an area by tape', () => {
  it('doubts the right angle of 20 by 30 m with a diagonal of 34 m', () => {
    const area = tapedArea({ sidesM: [20, 30, 20, 30], diagonalM: 34 })
    // The cosine of the corner is (400 + 900 - 1156) / 1200 = 0.12, so the area is 600 x sqrt(1 - 0.12^2).
    expect(area.areaM2).toBeCloseTo(600 * Math.sqrt(1 - 0.0144), 9)
    expect(area.cornerDeg).toBeCloseTo(83.1, 1)
    expect(area.rightAngleDoubted).toBe(true)
  })

  it('is length times width in a true rectangle, and less sure without a diagonal', () => {
    const sidesM = [30, 40, 30, 40] as const
    expect(tapedArea({ sidesM, diagonalM: 50 })).toMatchObject({
      areaM2: 1200,
      rightAngleDoubted: false,
      cornerDeg: 90,
    })
    expect(tapedArea({ sidesM })).toMatchObject({ areaM2: 1200, errorFraction: 0.15, cornerDeg: null })
  })

  it('refuses lengths that cannot meet', () => {
    expect(() => tapedArea({ sidesM: [20, 30, 20, 30], diagonalM: 51 })).toThrow('triangle-does-not-close')
    expect(() => tapedArea({ sidesM: [20, 0, 20, 30] })).toThrow('side-not-above-zero')
  })
})
