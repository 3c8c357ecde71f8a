import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fillMissingDays } from '../../../domain/crops/demand/filled-days.ts'
import { usualMonthlyDemand } from '../../../domain/crops/demand/usual-demand.ts'
import { rootZoneOutlook } from '../../../domain/crops/root-zone/outlook.ts'
import { runs } from '../../support/runs.ts'
import { daysBefore, plan } from '../plot.ts'

const TODAY = '2026-02-01'
const EFFICIENCY = { low: 0.75, likely: 0.85, high: 0.9 }
const watered = (days: ReturnType<typeof daysBefore>) => days.map((day) => ({ ...day, broughtMm: 0 }))
const outlook = (days: ReturnType<typeof daysBefore>, change = {}) =>
  rootZoneOutlook({
    plan: plan(),
    today: TODAY,
    days: watered(days),
    bookFromOn: days[0]!.date,
    availableMmPerM: { low: 80, likely: 90, high: 100 },
    efficiency: EFFICIENCY,
    ...change,
  })

describe('days that nobody wrote', () => {
  it('are filled with the mean of the days around, no rain and a wider error', () => {
    const days = daysBefore(TODAY, 31).filter((day) => day.date !== '2026-01-15')
    const whole = fillMissingDays({ days, fromOn: '2026-01-01', toOn: '2026-01-31' })!
    expect(whole.filled).toEqual([{ date: '2026-01-15', demand: true, rain: true }])
    expect(whole.days).toHaveLength(31)
    const day = whole.days[14]!
    expect(day).toMatchObject({ date: '2026-01-15', etoMm: 5, rainMm: 0 })
    expect(day.etoErrorFraction).toBeCloseTo(Math.hypot(0.2, 0.15), 12)
  })

  it('are too many when most are missing, unless there is a month table', () => {
    const few = { days: daysBefore(TODAY, 10), fromOn: '2026-01-01', toOn: '2026-01-31' }
    expect(fillMissingDays(few)).toBeNull()
    const filled = fillMissingDays({ ...few, monthTableMmPerDay: Array(12).fill(4) })!
    expect(filled.days[0]!.etoMm).toBe(4)
    expect(filled.filled).toHaveLength(21)
  })
})

describe('the outlook of a root zone', () => {
  it('takes an agreed turn without a word for anything between nothing and its volume, likely all', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 30 }), fc.integer({ min: 1, max: 40 }), (at, agreedMm) => {
        const days = watered(daysBefore(TODAY, 31))
        const known = (given: object) => {
          const found = outlook(daysBefore(TODAY, 31), {
            days: days.map((day, each) => (each === at ? { ...day, ...given } : day)),
          })
          if (!found.known) throw new Error('not known')
          return found.runs
        }
        const [none, untyped, logged] = [known({}), known({ untypedMm: agreedMm }), known({ broughtMm: agreedMm })]
        expect(untyped[1]).toEqual(none[1])
        expect(untyped[0]).toEqual(logged[0])
        expect(untyped[-1]).toEqual(logged[-1])
      }),
      runs(30),
    )
  })

  it('never hides behind one forgotten day, and its range holds the likely number of days', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 30 }), fc.double({ min: 1, max: 9, noNaN: true }), (gap, etoMm) => {
        const days = daysBefore(TODAY, 31, { etoMm }).map((day) => ({
          ...day,
          rainMm: day.date > '2026-01-28' ? 30 : 0,
        }))
        const found = outlook(days.filter((_, at) => at !== gap))
        if (!found.known) throw new Error('not known')
        const never = (left: number | null) => left ?? 1000
        expect(found.filled.length).toBeLessThanOrEqual(1)
        expect(never(found.daysLeft.earliest)).toBeLessThanOrEqual(never(found.daysLeft.likely))
        expect(never(found.daysLeft.likely)).toBeLessThanOrEqual(never(found.daysLeft.latest))
      }),
      runs(60),
    )
  })

  it('takes a crop sown before the book from its first day, never silently full', () => {
    const days = daysBefore(TODAY, 14)
    const found = outlook(days, { plan: plan({ plantedOn: '2025-12-01' }) })
    if (!found.known) throw new Error('not known')
    expect(found.startUnknown).toBe(true)
    expect(found.past[0]!.date).toBe(days[0]!.date)
    // Development of the tomato: what comes without stress on that day is used half, not at all, or wholly when it begins.
    const used = ([-1, 0, 1] as const).map((side) => found.runs[side][0]!.depletionMm)
    expect(used[0]).toBeLessThan(used[1]!)
    expect(used[1]).toBeGreaterThan(0.5 * found.past[0]!.readilyAvailableMm)
    expect(used[2]).toBeGreaterThan(used[1]!)
  })

  it('counts the water that is agreed for a day to come, and is wider where the soil is less known', () => {
    const days = daysBefore(TODAY, 31)
    const dry = outlook(days)
    const agreed = { date: '2026-02-02', etoMm: null, etoErrorFraction: 0, rainMm: null, broughtMm: 60 }
    const given = outlook(days, { days: [...watered(days), agreed] })
    const unknownSoil = outlook(days, { availableMmPerM: { low: 40, likely: 90, high: 140 } })
    if (!dry.known || !given.known || !unknownSoil.known) throw new Error('not known')
    expect(dry.daysLeft.likely).toBe(0)
    expect(given.ahead[1]!.depletionMm).toBe(0)
    const width = ({ runs }: typeof dry) => runs[-1][25]!.readilyAvailableMm - runs[1][25]!.readilyAvailableMm
    expect(width(unknownSoil)).toBeGreaterThan(width(dry))
  })

  it('cannot be said with too few days of weather', () => {
    expect(outlook(daysBefore(TODAY, 3))).toMatchObject({
      known: false,
      reasons: [{ code: 'too-few-days-of-weather' }],
    })
  })
})

describe('the usual demand of a month', () => {
  it('rests on own days of the month, else the table, else the last weeks, each wider', () => {
    const days = daysBefore('2026-02-01', 31)
    const own = usualMonthlyDemand({ days })!
    expect(own[0]).toMatchObject({ etoMmPerDay: 5, from: 'own-weather', days: 31 })
    expect(own[5]).toMatchObject({ etoMmPerDay: 5, from: 'lately', days: 28 })
    const table = usualMonthlyDemand({ days, monthTableMmPerDay: Array(12).fill(6) })!
    expect(table[5]).toMatchObject({ etoMmPerDay: 6, from: 'month-table' })
    expect(own[0]!.errorFraction).toBeLessThan(table[5]!.errorFraction)
    expect(table[5]!.errorFraction).toBeLessThan(own[5]!.errorFraction)
    expect(usualMonthlyDemand({ days: daysBefore('2026-02-01', 3) })).toBeNull()
  })
})
