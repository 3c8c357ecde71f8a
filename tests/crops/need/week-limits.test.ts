import { describe, expect, it } from 'vitest'
import { addDays, datesFromTo } from '../../../domain/calendar.ts'
import { cropCoefficient } from '../../../domain/crops/crop/coefficient.ts'
import { seedBedMm } from '../../../domain/crops/need/seed-bed.ts'
import { weekNeed } from '../../../domain/crops/need/week-need.ts'
import { daysBefore, plan } from '../plot.ts'

type Input = Parameters<typeof weekNeed>[0]

/** Day 43 of a tomato: its leaves grow, so that no two days of the week ask for the same. */
const TODAY = '2026-02-12'
const days = (broughtMm = 9) => daysBefore(TODAY, 42).map((day) => ({ ...day, broughtMm }))
const input = (change: Partial<Input> = {}): Input => ({
  ...{ plan: plan(), today: TODAY, weekStartsOn: TODAY, days: days(), bookFromOn: '2025-12-01' },
  ...{ availableMmPerM: { low: 110, likely: 130, high: 150 }, efficiency: { low: 0.6, likely: 0.7, high: 0.8 } },
  ...change,
})
const known = (change: Partial<Input> = {}) => {
  const need = weekNeed(input(change))
  if (!need.known) expect.fail(need.reasons.map(({ code }) => code).join())
  return need
}

describe('a week with turns', () => {
  it('has the mean of its days’ coefficients, and turns that add up to it, the first told as its part', () => {
    const kcs = datesFromTo(TODAY, addDays(TODAY, 6)).map((date) => cropCoefficient({ ...plan(), date })!.kc)
    expect(new Set(kcs).size).toBe(7)
    for (const mostTurns of [1, 2, 3]) {
      const need = known({ mostTurns, availableMmPerM: { low: 30, likely: 40, high: 50 } })
      expect(need.turns).toBe(mostTurns)
      expect(need.kc).toBeCloseTo(kcs.reduce((sum, kc) => sum + kc, 0) / 7, 12)
      expect(need.firstTurnMm + (mostTurns - 1) * need.laterTurnMm).toBeCloseTo(need.netMm.likely, 12)
      expect(need.firstTurnPart * need.netMm.likely).toBeCloseTo(need.firstTurnMm, 12)
      expect(need.laterTurnMm > 0).toBe(mostTurns > 1)
      expect(need.netMm.low).toBeLessThan(need.netMm.likely)
      expect(need.netMm.high).toBeGreaterThan(need.netMm.likely)
    }
  })

  it('has none in the last week of a crop whose roots hold enough to its harvest', () => {
    const need = known({
      plan: plan({ harvestedOn: addDays(TODAY, 1) }),
      availableMmPerM: { low: 290, likely: 300, high: 310 },
    })
    expect(need).toMatchObject({ turns: 0, firstTurnMm: 0, laterTurnMm: 0, firstTurnPart: 0 })
    expect(need.netMm).toEqual({ low: 0, likely: 0, high: 0 })
    expect(need.useMm.likely).toBeGreaterThan(0)
  })

  it('brings no more than carries the crop to its harvest with the roots drawn down as far as they may be', () => {
    // Thirteen days to the harvest; the week after this one is watered in its turn, so it counts to the end of the run.
    const last = addDays(TODAY, 6)
    const soil = { low: 130, likely: 130, high: 130 }
    const need = known({ plan: plan({ harvestedOn: last }), availableMmPerM: soil })
    const run = need.outlook!.runs[0]
    const useMm = run
      .filter(({ date }) => date >= TODAY)
      .reduce((sum, day) => sum + day.kc * need.outlook!.etoMmPerDay[0], 0)
    expect(need.useMm.likely).toBeCloseTo(useMm, 12)
    expect(need.netMm.likely).toBeCloseTo(
      Math.max(0, need.depletionMm.likely + useMm - run.at(-1)!.readilyAvailableMm),
      9,
    )
  })
})

it('finds the bed that the sowing of its first day finds, and that of a day within it', () => {
  for (const sownIn of [0, 3]) {
    const young = plan({ plantedOn: addDays(TODAY, sownIn) })
    const dry = days(0)
    const { depletionMm } = known({ plan: young, days: dry })
    const { availableMmPerM, efficiency } = input()
    const bed = seedBedMm({ plan: young, on: TODAY, days: dry, availableMmPerM, efficiency })
    expect(bed.likely).toBeGreaterThan(10)
    expect(depletionMm.likely).toBeCloseTo(bed.likely, 12)
  }
})

describe('what is told beside a week', () => {
  it('names the eve of the first likely day of stress as the last day, and none where it has come or does not come', () => {
    const seen = new Set<string>()
    for (let dryDays = 0; dryDays <= 14; dryDays++) {
      const behind = days().map((day) => (day.date < addDays(TODAY, -dryDays) ? day : { ...day, broughtMm: 0 }))
      const { daysLeft, latestOn } = known({ days: behind })
      const left = daysLeft.likely
      expect(latestOn).toBe(left === null || left === 0 ? null : addDays(TODAY, left - 1))
      seen.add(left === null ? 'never' : left === 0 ? 'now' : left === 1 ? 'tomorrow' : 'to come')
    }
    expect([...seen].toSorted()).toEqual(['now', 'to come', 'tomorrow'])
    expect(known({ plan: plan({ harvestedOn: TODAY }) }).latestOn).toBeNull()
  })

  it('cannot be said with four of the last seven days of rain unwritten, and can with three', () => {
    const without = (count: number) =>
      days().map((day) => (day.date >= addDays(TODAY, -count) ? { ...day, rainMm: null } : day))
    expect(weekNeed(input({ days: without(3) }))).toMatchObject({ known: true, missingRain: { length: 3 } })
    expect(weekNeed(input({ days: without(4) }))).toMatchObject({
      known: false,
      reasons: [{ code: 'rain-not-measured', values: { days: 4, first: addDays(TODAY, -4) } }],
    })
    expect(weekNeed(input({ days: without(4), unwrittenRain: 'none' })).known).toBe(true)
  })

  it('says from what its demand comes and how many days counted no rain, and of a written week nothing', () => {
    const codes = (change: Partial<Input>) => known(change).assumptions.map(({ code }) => code)
    expect(codes({})).toEqual([])
    const early = days().map((day) => (day.date === '2026-01-10' ? { ...day, rainMm: null } : day))
    expect(codes({ days: early })).toEqual(['missing-rain-counts-nothing'])
  })
})
