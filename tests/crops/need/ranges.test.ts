import { describe, expect, it } from 'vitest'
import { grossRangeM3, jerrycans } from '../../../domain/crops/need/gross-range.ts'
import { seedBedMm } from '../../../domain/crops/need/seed-bed.ts'
import { seasonNeed, weeklyGrossM3 } from '../../../domain/crops/season/need.ts'
import type { Range } from '../../../domain/units.ts'
import { daysBefore, plan, plantable } from '../plot.ts'

const range = (low: number, likely: number, high: number): Range => ({ low, likely, high })
const exact = (value: number) => range(value, value, value)
const close = ({ low, likely, high }: Range) =>
  ({ low: expect.closeTo(low, 9), likely: expect.closeTo(likely, 9), high: expect.closeTo(high, 9) }) as Range

describe('water to bring', () => {
  it('has two doubts at right angles on each side', () => {
    // 10 mm over a half are 20 mm. Below: 4 mm over a half are 8, and 10 over 5/7 leave 6: ten. Above: 12 and 5: thirteen.
    const gross = grossRangeM3({ netMm: range(6, 10, 16), efficiency: range(0.4, 0.5, 5 / 7), areaM2: 100 })
    expect(gross).toEqual(close(range(1, 2, 3.3)))
  })

  it('is never surer than a quarter, and never below nothing', () => {
    expect(grossRangeM3({ netMm: exact(10), efficiency: exact(0.5), areaM2: 100 })).toEqual(close(range(1.5, 2, 2.5)))
    const wide = grossRangeM3({ netMm: range(0, 10, 10), efficiency: range(0.5, 0.5, 1), areaM2: 100 })
    expect(wide).toEqual(close(range(0, 2, 2.5)))
  })

  it('refuses losses that cannot be, and takes none at all', () => {
    const of = (efficiency: Range) => () => grossRangeM3({ netMm: exact(10), efficiency, areaM2: 1 })
    expect(of(exact(1))().likely).toBeCloseTo(0.01, 12)
    for (const wrong of [exact(0), range(0.6, 0.5, 0.9), range(0.4, 0.5, 0.45), range(0.4, 0.5, 1.01)])
      expect(of(wrong)).toThrow('efficiency-outside')
  })

  it('is told in cans that enclose it', () => {
    expect(jerrycans(range(0.019, 0.03, 0.041))).toEqual(range(0, 2, 3))
    expect(jerrycans(range(0.02, 0.029, 0.04))).toEqual(range(1, 1, 2))
  })
})

describe('a bed before sowing', () => {
  const bed = (more: Partial<Parameters<typeof seedBedMm>[0]> = {}) =>
    seedBedMm({
      ...{ plan: plan(), on: '2026-03-01', days: [], availableMmPerM: range(100, 120, 150), efficiency: exact(0.5) },
      ...more,
    })

  it('that has dried lacks what the likely soil holds at most, half of the poorest at least', () => {
    const dry = bed()
    // A seedling’s 0.2 m hold 20, 24 and 30 mm; a month at 5 mm a day leaves next to nothing of it.
    expect(dry.low).toBeGreaterThan(9.5)
    expect(dry.low).toBeLessThanOrEqual(10)
    expect(dry.likely).toBeGreaterThan(23)
    expect(dry.likely).toBeLessThanOrEqual(24)
    expect(dry.high).toBeGreaterThan(29)
    expect(dry.high).toBeLessThanOrEqual(30)
  })

  it('of which only a part has roots lacks that part', () => {
    const [part, whole] = [bed({ rootedPart: range(0.4, 0.5, 0.6) }), bed()]
    expect(part.likely / whole.likely).toBeCloseTo(0.5, 1)
    expect(part.low / whole.low).toBeCloseTo(0.4, 1)
    expect(part.high / whole.high).toBeCloseTo(0.6, 1)
  })

  it('is moist from yesterday’s water, half of which was lost on the way, typed or not', () => {
    const watered = (broughtMm: number, untypedMm?: number) =>
      bed({
        days: daysBefore('2026-03-01', 1, {}).map((day) => ({
          ...day,
          broughtMm,
          ...(untypedMm ? { untypedMm } : {}),
        })),
      })
    const lacks = bed().likely
    expect(lacks - watered(20).likely).toBeCloseTo(10, 0)
    expect(watered(12, 8).likely).toBeCloseTo(watered(20).likely, 9)
    expect(watered(500).likely).toBeLessThanOrEqual(5) // full, less the use of the day
  })

  it('is none under a crop that stands for years', () => {
    expect(bed({ plan: { crop: { ...plantable('tomato'), perennial: true } } })).toEqual(exact(0))
  })
})

describe('the need of a season', () => {
  const months = (errorFraction: number) =>
    Array.from({ length: 12 }, (_, month) => ({
      ...{ etoMmPerDay: month + 1, errorFraction, from: 'month-table' as const, days: 0 },
    }))
  const season = (more: Partial<Parameters<typeof seasonNeed>[0]> = {}, change: Parameters<typeof plan>[0] = {}) =>
    seasonNeed({
      ...{ plan: plan(change), fromOn: '2026-01-02', seasonEndOn: '2026-12-31', months: months(0) },
      ...{ efficiency: exact(1), availableMmPerM: range(110, 130, 150), ...more },
    })

  it('is as unsure as the coefficient and the least known of its months together', () => {
    // 0.15 and 0.36 at right angles are 0.39; every month of the season has part in it, the others none.
    const doubted = (month: number) =>
      months(0.2).map((one, at) => (at === month ? { ...one, errorFraction: 0.36 } : one))
    const { grossM3PerM2, errorFraction } = season({ months: doubted(3) })
    expect(errorFraction).toBeCloseTo(0.39, 12)
    expect(grossM3PerM2.low).toBeCloseTo(grossM3PerM2.likely * 0.61, 9)
    expect(grossM3PerM2.high).toBeCloseTo(grossM3PerM2.likely * 1.39, 9)
    expect(season({ months: doubted(8) }).errorFraction).toBeCloseTo(0.25, 12)
    expect(season({ months: months(3) }).grossM3PerM2.low).toBe(0)
  })

  it('takes each day by its month, and ends with the stages or an earlier harvest, not with a later one', () => {
    const lasts = (harvestedOn?: string) => season({}, harvestedOn ? { harvestedOn } : {}).days
    expect(lasts().find(({ date }) => date === '2026-01-31')!.netMm).toBeCloseTo(0.6 + (1 / 40) * 0.55, 9)
    expect(lasts().find(({ date }) => date === '2026-03-15')!.netMm).toBeCloseTo(3 * 1.15, 9)
    expect(lasts().at(-1)!.date).toBe('2026-05-15') // 135 days of stages
    expect(lasts('2026-05-14').at(-1)!.date).toBe('2026-05-14')
    expect(lasts('2026-06-30').at(-1)!.date).toBe('2026-05-15')
  })

  it('of a crop for years ends with the season, or its harvest', () => {
    const hay = (more: Partial<Parameters<typeof seasonNeed>[0]>, harvestedOn?: string) =>
      season(more, { crop: plantable('alfalfa_hay'), repeats: true, ...(harvestedOn ? { harvestedOn } : {}) }).days.at(
        -1,
      )!.date
    expect(hay({ seasonEndOn: '2026-09-30' })).toBe('2026-09-30')
    expect(hay({ seasonEndOn: '2026-09-30' }, '2026-10-15')).toBe('2026-10-15')
    expect(hay({ seasonEndOn: '2025-12-31', fromOn: '2026-01-01' })).toBe('2026-01-01')
  })

  it('has the water of the bed on the day of sowing, its doubt beside that of the use', () => {
    const sown = season({ fromOn: '2026-01-01' })
    expect(sown.bedMm).toBeGreaterThan(20)
    expect(sown.days[0]!.netMm).toBeCloseTo(0.6 + sown.bedMm, 9)
    expect(sown.days[1]!.netMm).toBeCloseTo(0.6, 9)
    expect(sown.netMm).toBeCloseTo(sown.useMm + sown.bedMm, 9)
    expect(season().bedMm).toBe(0)
  })

  it('falls into as many weeks as were asked for, each day into its own', () => {
    const days = ['2026-01-01', '2026-01-07', '2026-01-08', '2026-01-14', '2026-01-15'].map((date, at) => {
      return { date, kc: 1, netMm: 2 ** at }
    })
    const weeks = (more: object) =>
      weeklyGrossM3({ days, areaM2: 1000, efficiency: exact(0.5), fromOn: '2026-01-01', weeks: 3, ...more })
    expect(weeks({})).toEqual([2 * 3, 2 * 12, 2 * 16])
    expect(weeks({ weeks: 2 })).toEqual([6, 24])
    expect(weeks({ weeks: 4 })).toEqual([6, 24, 32, 0])
    expect(weeks({ fromOn: '2026-01-08' })).toEqual([2 * 12, 2 * 16, 0])
    expect(weeks({ days: [] })).toEqual([0, 0, 0])
    expect(weeks({ weekDays: [1, 6, 8] })).toEqual([2, 2 * 2, 2 * 28])
  })
})
