import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { safeWeeklyAbstractionM3, storageOutlook } from '../../../domain/water/outlook/outlook.ts'
import { rainYears as rainYearsOf } from '../../../domain/water/outlook/rain-years.ts'
import { fitRecharge } from '../../../domain/water/outlook/recharge.ts'
import {
  drawTraces,
  type OutlookInput,
  type OutlookWeir,
  prepareWeirs,
  runStream,
} from '../../../domain/water/outlook/traces.ts'
import { boxBody } from '../path/tank.ts'

const box = (more: Partial<OutlookWeir> = {}): OutlookWeir => ({
  ...{ weirId: 'box', feedsWeirId: null, body: boxBody(), offTakeLevelM: 100.2, waterLevelM: 101, levelErrorCm: 5 },
  ...{ loss: { dailyM3: 2 }, rise: 1, extraWeeks: 0, leakShare: 0, dailyDrinkingM3: 1, weeklyIrrigationM3: 28 },
  ...{ rechargeM3PerMm: 2, rechargeFromMm: 5, ...more },
})
/** Year after year a little more rain on every ninth day. */
const years = (count: number) =>
  Array.from({ length: count }, (_, year) => ({
    name: `${2001 + year}`,
    rainMm: Array.from({ length: 365 }, (_, day) => (day % 9 === 0 ? 4 + year : 0)),
  }))
const input = (more: Partial<OutlookInput> = {}): OutlookInput => ({
  ...{ weirs: [box()], today: '2025-07-01', seasonEndOn: '2025-08-05', lateRainOn: '2025-08-01', rainYears: years(12) },
  ...{ seed: 4, traces: 90, ...more },
})

describe('the outlook over many seasons', () => {
  it('is told by counting them: its bands, its chance, and the days by which one, five and nine of ten have fallen below', () => {
    for (const weeklyIrrigationM3 of [7, 28, 45, 90]) {
      const given = input({ weirs: [box({ weeklyIrrigationM3 })] })
      const found = storageOutlook(given)
      if (found.cannotSay || found.kind !== 'bands') expect.fail('no bands')
      const { bands, chanceAboveReserve, firstBelow } = found.weirs[0]!
      const prepared = prepareWeirs(given)
      const seasons: { availableM3: Float64Array; firstBelow: number }[] = []
      for (const trace of drawTraces(given)) runStream(prepared, trace, (_, run) => seasons.push(run))
      bands.forEach(({ tenM3, fiftyM3, ninetyM3 }, day) => {
        for (const [m3, share] of [
          [tenM3, 0.1],
          [fiftyM3, 0.5],
          [ninetyM3, 0.9],
        ] as const) {
          const less = seasons.filter(({ availableM3 }) => availableM3[day]! < m3 - 1e-9).length
          const notMore = seasons.filter(({ availableM3 }) => availableM3[day]! <= m3 + 1e-9).length
          expect([less <= share * 90, notMore >= share * 90 - 1]).toEqual([true, true])
        }
      })
      const fallen = seasons.filter((season) => season.firstBelow >= 0).length
      expect(chanceAboveReserve).toBeCloseTo(1 - fallen / 90, 12)
      const fallenBy = (on: string) =>
        seasons.filter((season) => season.firstBelow >= 0 && addDays('2025-07-01', season.firstBelow) <= on).length
      for (const [on, share] of [
        [firstBelow.tenOn, 9],
        [firstBelow.fiftyOn, 45],
        [firstBelow.ninetyOn, 81],
      ] as const) {
        expect(on === null).toBe(fallen < share)
        if (on) expect([fallenBy(on) >= share, fallenBy(addDays(on, -1)) < share]).toEqual([true, true])
      }
    }
  })

  it('has percentages from ten rain years on, and with fewer each year’s first day below its line', () => {
    const kind = (count: number) =>
      (storageOutlook(input({ rainYears: years(count), traces: 10 })) as { kind: string }).kind
    expect([kind(9), kind(10)]).toEqual(['years', 'bands'])
    const found = storageOutlook(input({ rainYears: years(9), weirs: [box({ weeklyIrrigationM3: 25 })] }))
    if (found.cannotSay || found.kind !== 'years') expect.fail('no years')
    const firsts = found.years.map(({ weirs: [one] }) => {
      const day = one!.availableM3.findIndex((m3, at) => m3 < found.weirs[0]!.reserveM3[at]! - 1e-9)
      expect(one!.firstBelowOn).toBe(found.dates[day] ?? null)
      return one!.firstBelowOn
    })
    expect([firsts.includes(null), firsts.some((on) => on !== null)]).toEqual([true, true])
  })

  it('refuses a year of fewer than 365 days, or with a day below nothing', () => {
    const year = (rainMm: number[]) => () => storageOutlook(input({ rainYears: [{ name: '2001', rainMm }] }))
    expect(year(Array(365).fill(0))).not.toThrow()
    expect(year(Array(364).fill(0))).toThrow('rain-year-too-short')
    expect(year(Array.from({ length: 365 }, (_, day) => (day === 200 ? -0.1 : 1)))).toThrow('rain-below-zero')
  })
})

describe('the safe weekly volume', () => {
  const safe = (more: Partial<OutlookInput & { holdsIn: number; weirId: string }> = {}) =>
    safeWeeklyAbstractionM3({ ...input({ traces: 20 }), weirId: 'box', ...more })

  it('of each year is the most that it bears: with it no day is below the line, and with a tenth more one is', () => {
    const found = safe({ rainYears: years(3) })
    if (found.cannotSay || found.kind !== 'years') expect.fail('no years')
    found.years.forEach(({ largestWeeklyM3 }, year) => {
      const with_ = (weeklyIrrigationM3: number) => {
        const outlook = storageOutlook(input({ rainYears: [years(3)[year]!], weirs: [box({ weeklyIrrigationM3 })] }))
        if (outlook.cannotSay || outlook.kind !== 'years') expect.fail('no years')
        return outlook.years[0]!.weirs[0]!.firstBelowOn
      }
      expect([with_(largestWeeklyM3), with_(largestWeeklyM3 + 0.1) === null]).toEqual([null, false])
    })
  })

  it('is never more than the sand can hold, by as much as each season takes it to hold', () => {
    const drenched = Array.from({ length: 12 }, (_, year) => ({
      name: `${2001 + year}`,
      rainMm: Array(365).fill(5000),
    }))
    const found = safe({ rainYears: drenched, traces: 400, weirs: [box({ levelErrorCm: 0 })] })
    if (found.cannotSay || found.kind !== 'quantile') expect.fail('no quantile')
    // From three quarters of the likely to all of it one season of two, thinning out: a tenth lies below 0.75 + 0.25 √0.2.
    expect(found.safeWeeklyM3 / 640).toBeCloseTo(0.75 + 0.25 * Math.sqrt(0.2), 2)
  })

  it('has a quantile from ten rain years on, and cannot be told without one', () => {
    const kind = (count: number) => (safe({ rainYears: years(count) }) as { kind?: string }).kind
    expect([kind(0), kind(9), kind(10)]).toEqual([undefined, 'years', 'quantile'])
    expect(safe({ rainYears: [] })).toEqual({ cannotSay: ['no-rain-years'] })
  })

  it('holds in a part of the seasons, neither in none nor in all, and of a weir that is there', () => {
    for (const holdsIn of [0, 1, -0.1, 1.1, Number.NaN]) expect(() => safe({ holdsIn })).toThrow('share-not-below-one')
    for (const holdsIn of [0.01, 0.99]) expect(() => safe({ holdsIn })).not.toThrow()
    expect(() => safe({ weirId: 'other' })).toThrow('no such weir')
  })
})

it('of two figures for one day of rain the later counts, and one that nobody read changes nothing', () => {
  const dry = Array.from({ length: 365 }, (_, at) => ({
    fellOn: addDays('2025-01-01', at),
    rainMm: 0 as number | null,
  }))
  const with_ = (...more: [string, number | null][]) =>
    rainYearsOf({ days: [...dry, ...more.map(([fellOn, rainMm]) => ({ fellOn, rainMm }))] }).years[0]!.rainMm
  const rain = with_(['2025-01-03', 5], ['2025-01-03', null], ['2025-01-05', 7], ['2025-01-05', 4], ['2025-12-31', 9])
  expect(rain.slice(0, 6)).toEqual([0, 0, 5, 0, 4, 0])
  expect([rain.length, rain[364]]).toEqual([365, 9])
})

it('recharge is fitted on stretches with rain beyond the mark that did not end full, from their first day and not on their last', () => {
  const stretch = { kind: 'wet' as const, fromOn: '2025-11-01', toOn: '2025-11-08', closingM3: 98.9, rechargeM3: 40 }
  const fitted = (rain: [string, number][], more: Partial<typeof stretch> = {}) =>
    fitRecharge({
      stretches: [
        { ...stretch, ...more },
        { ...stretch, fromOn: '2025-12-01', toOn: '2025-12-08', rechargeM3: 6 },
      ],
      rain: [...rain, ['2025-12-02', 9] as const].map(([fellOn, rainMm]) => ({ fellOn, rainMm })),
      rechargeFromMm: 6,
      fullM3: 100,
    })
  const only = { rechargeM3PerMm: 2, stretches: 1 } // 6 m3 over 3 mm of the second
  expect(fitted([['2025-11-01', 26]])).toMatchObject({ rechargeM3PerMm: 2, stretches: 2 }) // 46 m3 over 20 + 3 mm
  expect(
    fitted([
      ['2025-11-01', 16],
      ['2025-11-08', 99],
    ]),
  ).toMatchObject({ rechargeM3PerMm: 46 / 13, stretches: 2 })
  expect(
    fitted([
      ['2025-10-31', 99],
      ['2025-11-08', 99],
      ['2025-11-04', 6],
    ]),
  ).toMatchObject(only)
  expect(fitted([['2025-11-01', 26]], { closingM3: 99 })).toMatchObject(only)
})
