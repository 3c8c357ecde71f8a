import fc from 'fast-check'
import { expect, it } from 'vitest'
import { dayOfYear } from '../../../domain/calendar.ts'
import {
  drawTraces,
  namedTrace,
  type OutlookInput,
  type OutlookWeir,
  type PreparedWeir,
  prepareWeirs,
  runStream,
} from '../../../domain/water/outlook/traces.ts'
import { runs } from '../../support/runs.ts'
import { boxBody } from '../path/tank.ts'

/** A box of 640 m3 over 2 m, of which 64 lie below the mouth of its off-take. */
const box = (weirId: string, more: Partial<OutlookWeir> = {}): OutlookWeir => ({
  ...{ weirId, feedsWeirId: null, body: boxBody(), offTakeLevelM: 100.2, waterLevelM: 101, levelErrorCm: 0 },
  ...{ loss: { dailyM3: 3 }, rise: 1, extraWeeks: 0, leakShare: 0, dailyDrinkingM3: 1, weeklyIrrigationM3: 14 },
  ...{ rechargeM3PerMm: 1.5, rechargeFromMm: 8, ...more },
})
const input = (weirs: OutlookWeir[], more: Partial<OutlookInput> = {}): OutlookInput => ({
  ...{
    weirs,
    today: '2025-07-01',
    seasonEndOn: '2025-07-20',
    lateRainOn: '2025-07-25',
    rainYears: [],
    seed: 3,
    ...more,
  },
})

it('a season is lived through day by day in its own litres, whatever the sand holds of what is likely', () => {
  const one = fc.record({
    waterLevelM: fc.constantFrom(100.1, 100.4, 101, 101.9),
    leakShare: fc.constantFrom(0, 0.5, 1),
    weeklyIrrigationM3: fc.constantFrom(0, 14, 70),
    rechargeM3PerMm: fc.constantFrom(1.5, 20),
  })
  const rain = fc.array(fc.constantFrom(0, 0, 8, 9, 30), { minLength: 28, maxLength: 28 })
  const each = fc.constantFrom(0.5, 1, 1.6)
  fc.assert(
    fc.property(fc.tuple(one, one, one), fc.tuple(each, each, each), rain, (weirs, parts, rainMm) => {
      const names = ['left', 'right', 'lower']
      const given = weirs.map((weir, at) => box(names[at]!, { ...weir, feedsWeirId: at < 2 ? 'lower' : null }))
      const partOf = Object.fromEntries(names.map((name, at) => [name, parts[at]!]))
      const prepared = prepareWeirs(input(given))
      const trace = {
        rainMm: Float64Array.from(rainMm),
        sandFactor: ({ weir }: PreparedWeir) => partOf[weir.weirId]!,
      }
      const found = new Map<string, { availableM3: Float64Array; firstBelow: number }>()
      runStream(prepared, trace, (at, run) => void found.set(prepared[at]!.weir.weirId, run))

      const storedM3 = given.map(({ waterLevelM }, at) => 320 * (waterLevelM - 100) * parts[at]!)
      const firstBelow = [-1, -1, -1]
      for (let day = 0; day < 28; day++) {
        let fedM3 = 0
        given.forEach((weir, at) => {
          const part = parts[at]!
          const offTakeM3 = 64 * part
          const availableM3 = Math.max(0, storedM3[at]! - offTakeM3)
          expect(found.get(names[at]!)!.availableM3[day]).toBeCloseTo(availableM3, 6)
          const reserveM3 = prepared.find((one) => one.weir.weirId === names[at])!.reserveByDayM3[day]!
          if (firstBelow[at] === -1 && availableM3 < reserveM3 - 1e-9) firstBelow[at] = day
          const filledM3 = storedM3[at]! + weir.rechargeM3PerMm * Math.max(0, rainMm[day]! - 8) + (at === 2 ? fedM3 : 0)
          let m3 = Math.min(640 * part, filledM3)
          const lossM3 = Math.min(m3, 3 * part)
          if (at < 2) fedM3 += filledM3 - m3 + weir.leakShare * lossM3
          m3 -= lossM3
          m3 -= Math.min(m3, 1)
          m3 -= Math.min(weir.weeklyIrrigationM3 / 7, Math.max(0, m3 - offTakeM3))
          storedM3[at] = m3
        })
      }
      expect(names.map((name) => found.get(name)!.firstBelow)).toEqual(firstBelow)
    }),
    runs(60),
  )
})

it('a level that is as much as asked is not below the line, and a hair less is', () => {
  // Nothing drunk, lost or drawn: 16 m3 above the mouth of the off-take are the margin that stays.
  const first = (waterLevelM: number) => {
    const still = box('one', { waterLevelM, loss: { dailyM3: 0 }, dailyDrinkingM3: 0, weeklyIrrigationM3: 0 })
    const given = input([still])
    let day = 99
    const year = { name: '2001', rainMm: Array(365).fill(0) }
    runStream(prepareWeirs(given), namedTrace(given, year), (_, run) => {
      day = run.firstBelow
    })
    return day
  }
  expect([first(100.25), first(100.2499)]).toEqual([-1, 0])
})

it('what stands at the start is by the lower level and the lower curve, as read, and by the higher of both', () => {
  const [prepared] = prepareWeirs(input([box('one', { levelErrorCm: 10 })]))
  // The box holds 240, 320 or 400 m3 a metre: 0.9, 1 and 1.1 m.
  expect(prepared!.startM3).toEqual({
    low: expect.closeTo(216, 6),
    likely: expect.closeTo(320, 6),
    high: expect.closeTo(440, 6),
  })
})

it('each season is one of the rain years from about today on, up to ten days early or late, each about as often', () => {
  // Each day of each year says by its figure which it is.
  const rainYears = [0, 1, 2].map((year) => ({
    name: `${2001 + year}`,
    rainMm: Array.from({ length: 365 }, (_, day) => 1000 * year + day),
  }))
  for (const today of ['2025-01-03', '2025-07-01', '2025-12-28']) {
    const traces = drawTraces(input([box('one')], { today, seasonEndOn: today, rainYears, traces: 2100 }))
    const tally = new Map<string, number>()
    for (const { rainMm } of traces) {
      const year = Math.floor(rainMm[0]! / 1000)
      const first = rainMm[0]! % 1000
      expect([...rainMm]).toEqual(Array.from({ length: 28 }, (_, day) => 1000 * year + ((first + day) % 365)))
      const shift = ((first - (dayOfYear(today) - 1) + 365 + 182) % 365) - 182
      for (const drawn of [`year ${year}`, `shift ${shift}`]) tally.set(drawn, (tally.get(drawn) ?? 0) + 1)
    }
    const expected = new Map<string, number>()
    for (let shift = -10; shift <= 10; shift++) expected.set(`shift ${shift}`, 100)
    for (const year of [0, 1, 2]) expected.set(`year ${year}`, 700)
    expect([...tally.keys()].toSorted()).toEqual([...expected.keys()].toSorted())
    // Five times the spread of so many draws.
    for (const [drawn, times] of tally)
      expect(Math.abs(times - expected.get(drawn)!)).toBeLessThan(5 * Math.sqrt(expected.get(drawn)!))
  }
  const asNamed = namedTrace(input([box('one')], { rainYears }), rainYears[1]!)
  expect([asNamed.rainMm[0], asNamed.rainMm[27]]).toEqual([1181, 1208])
})

it('half of the seasons hold less than is likely, thinning out to low and high, evenly however many are taken', () => {
  const rainYears = [{ name: '2001', rainMm: Array(365).fill(0) }]
  const sand = (startM3: { low: number; likely: number; high: number }, traces: number) =>
    drawTraces(input([box('one')], { rainYears, traces })).map(({ sandFactor }) => sandFactor({ startM3 } as never))
  // Of a triangle from nothing over one to two this part lies below a factor.
  const below = (factor: number) => (factor < 1 ? factor ** 2 / 2 : 1 - (2 - factor) ** 2 / 2)
  for (const traces of [5, 20, 200]) {
    const places = sand({ low: 0, likely: 1, high: 2 }, traces)
      .map(below)
      .toSorted((a, b) => a - b)
    const gaps = places.map((place, at) => (places[at + 1] ?? places[0]! + 1) - place)
    // Steps of the golden section leave gaps of at most three sizes, the largest the sum of the two others: 2.618 times the smallest.
    expect(Math.max(...gaps) / Math.min(...gaps)).toBeLessThan(2.62)
  }
  const lopsided = sand({ low: 50, likely: 100, high: 300 }, 400)
  const share = (most: number) => lopsided.filter((factor) => factor < most).length / 400
  expect([share(0.5), share(1), share(3)]).toEqual([0, expect.closeTo(0.5, 2), 1])
  expect([share(0.75), share(2)]).toEqual([expect.closeTo(0.125, 2), expect.closeTo(0.875, 2)])
  expect(new Set(sand({ low: 7, likely: 7, high: 7 }, 20))).toEqual(new Set([1]))
  expect(new Set(sand({ low: 0, likely: 0, high: 5 }, 20))).toEqual(new Set([1]))
})
