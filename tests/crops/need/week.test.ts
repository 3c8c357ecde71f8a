import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import type { BookedDay } from '../../../domain/crops/demand/expected-demand.ts'
import { creditedRainMm, USUAL_RAIN_RULE } from '../../../domain/crops/demand/rain.ts'
import { seedBedMm } from '../../../domain/crops/need/seed-bed.ts'
import { weekNeed } from '../../../domain/crops/need/week-need.ts'
import { rootZoneBalance } from '../../../domain/crops/root-zone/balance.ts'
import { InputError } from '../../../domain/input-error.ts'
import { daysBefore, plan, plantable } from '../plot.ts'

const WEEK = '2026-03-23' // day 82 of the tomato: the middle of its season
const LOSSES = { low: 0.6, likely: 0.7, high: 0.8 }
const SOIL = { low: 110, likely: 130, high: 150 }
/** The use of a day in mid-season, 1.15 x 5 mm, brought over losses of 30 per cent. */
const KEPT_FULL = 5.75 / 0.7
const watered = (days: readonly BookedDay[], broughtMm = KEPT_FULL) => days.map((day) => ({ ...day, broughtMm }))
type WeekNeedInput = Parameters<typeof weekNeed>[0]
const base: WeekNeedInput = {
  plan: plan(),
  today: WEEK,
  weekStartsOn: WEEK,
  days: watered(daysBefore(WEEK, 82)),
  bookFromOn: '2025-12-01',
  availableMmPerM: SOIL,
  efficiency: LOSSES,
}
const known = (input: Partial<WeekNeedInput> = {}) => {
  const need = weekNeed({ ...base, ...input })
  if (!need.known) throw new Error(`cannot say: ${need.reasons.map((reason) => reason.code).join(' ')}`)
  return need
}
/** Full on the eve of the week but for what `lackMm` says. */
const lacking = (days: number, broughtMm = 0) => [
  ...watered(daysBefore(addDays(WEEK, -days), 82 - days)),
  ...watered(daysBefore(WEEK, days), broughtMm),
]

describe('the week of a tomato plot in mid-season', () => {
  it('by hand: full on the eve, 40.25 mm of use and 33.67 mm without stress make two turns', () => {
    // 0.7 m x 130 mm = 91 mm in all; 0.4 + 0.04 (5 - 5.75) = 0.37 of it = 33.67 mm without stress. 7 x 5.75 = 40.25 mm.
    const need = known()
    expect(need.depletionMm.likely).toBeCloseTo(0, 9)
    expect(need).toMatchObject({ turns: 2, stage: 'mid-season' })
    expect(need.readilyMm).toBeCloseTo(33.67, 9)
    expect(need.firstTurnMm).toBeCloseTo(40.25 / 4, 9)
    expect(need.laterTurnMm).toBeCloseTo(40.25 / 2, 9)
    expect(need.netMm.likely).toBeCloseTo(0.75 * 40.25, 9)
    expect(need.grossM3.likely).toBeCloseTo((0.75 * 40.25 * 500) / 1000 / 0.7, 9)
  })

  it('by hand: one dry week behind brings the first turn up by what it used', () => {
    const need = known({ days: lacking(4) })
    expect(need.depletionMm.likely).toBeCloseTo(4 * 5.75, 9)
    expect(need.firstTurnMm).toBeCloseTo(23 + 40.25 / 4, 9)
    expect(need.netMm.likely).toBeCloseTo(23 + 0.75 * 40.25, 9)
  })

  it('one turn is enough where the roots carry the week, and the group may hold it to one', () => {
    const deep = known({ availableMmPerM: { low: 170, likely: 180, high: 190 } })
    expect(deep).toMatchObject({ turns: 1 })
    expect(deep.netMm.likely).toBeCloseTo(40.25 / 2, 9)
    expect(known({ mostTurns: 1 }).turns).toBe(1)
  })

  it('comes as a range of at least a quarter each way, in whole cans that enclose it', () => {
    const { grossM3, jerrycans } = known()
    expect(grossM3.low).toBeLessThanOrEqual(grossM3.likely * 0.75)
    expect(grossM3.high).toBeGreaterThanOrEqual(grossM3.likely * 1.25)
    expect(jerrycans.low).toBeLessThanOrEqual(grossM3.low * 50)
    expect(jerrycans.high).toBeGreaterThanOrEqual(grossM3.high * 50)
  })
})

describe('what follows from the need', () => {
  /** The week as it is lived through when the turns are given in the middle of equal parts, by the balance that is checked against FAO-56. */
  function livedThrough(need: ReturnType<typeof known>, days: number) {
    const given = new Map([
      [days / (2 * need.turns), need.firstTurnMm],
      ...Array.from(
        { length: need.turns - 1 },
        (_, at) => [((at + 1.5) * days) / need.turns, need.laterTurnMm] as const,
      ),
    ])
    const onDay = new Map([...given].map(([at, depth]) => [Math.floor(at), depth]))
    return rootZoneBalance({
      crop: plantable('tomato'),
      plantedOn: '2026-01-01',
      availableMmPerM: 130,
      startDepletionMm: need.depletionMm.likely,
      days: Array.from({ length: days }, (_, at) => {
        return { date: addDays(WEEK, at), etoMm: 5, rainMm: 0, irrigationMm: onDay.get(at) ?? 0 }
      }),
    })
  }

  it.each([0, 1, 3, 5])(
    '%s dry days behind: the turns end the week as they found a week in step, and nothing drains',
    (dry) => {
      const need = known({ days: lacking(dry) })
      const week = livedThrough(need, 7)
      expect(week.reduce((sum, day) => sum + day.percolationMm, 0)).toBeLessThan(5.75)
      expect(week.at(-1)!.depletionMm).toBeLessThan(need.readilyMm)
      if (dry <= 3) expect(Math.min(...week.map((day) => day.stress))).toBe(1)
    },
  )

  it('a plot never watered asks for more than one kept full', () => {
    const dry = known({ days: watered(daysBefore(WEEK, 82), 0) })
    expect(dry.netMm.likely).toBeGreaterThan(known().netMm.likely + 40)
    expect(dry.daysLeft.likely).toBe(0)
  })

  it('no turn brings more than the roots hold and the crop drinks that day', () => {
    const dry = known({ days: watered(daysBefore(WEEK, 82), 0) })
    expect(dry.firstTurnMm).toBeLessThanOrEqual(91 + 5.75 + 1e-9)
    expect(dry.turnHoldsM3).toBeCloseTo((91 * 500) / 1000 / 0.7, 9)
  })

  it('45 mm of rain seven days before lowers the need by no more than the roots could hold of it', () => {
    const rainedOn = addDays(WEEK, -7)
    const rained = (days: typeof base.days) => days.map((day) => (day.date === rainedOn ? { ...day, rainMm: 45 } : day))
    const full = known()
    expect(known({ days: rained(base.days) }).netMm.likely).toBeCloseTo(full.netMm.likely, 9)
    // Ten dry days: 3 x 5.75 mm were used when it rained and the fourth day drinks of it too, so 23 mm of it stay.
    const dry = known({ days: lacking(10) })
    const wet = known({ days: rained(lacking(10)) })
    expect(wet.depletionMm.likely).toBeCloseTo(6 * 5.75, 0)
    expect(dry.netMm.likely - wet.netMm.likely).toBeLessThanOrEqual(23 + 1e-9)
  })

  it('asks near the harvest for no more than lasts until then', () => {
    // Day 129 of 135: seven days are left, and what comes without stress at the end need not be put back.
    const late = addDays('2026-01-01', 128)
    const need = known({ today: late, weekStartsOn: late, days: watered(daysBefore(late, 128)) })
    const use = need.useMm.likely
    expect(need.netMm.likely).toBeLessThan(Math.max(0.1, use - 0.3 * need.totalMm))
  })

  it('gives the same water in the first days of a week whether the week has seven days or five', () => {
    const five = known({ weekDays: 5 })
    expect(five.useMm.likely).toBeCloseTo(5 * 5.75, 9)
    expect(five.turns).toBe(1)
  })
})

describe('days left, in the same reckoning', () => {
  it('six days use 34.5 of 33.67 mm, so the seventh morning begins in stress and the sixth day is the last', () => {
    expect(known()).toMatchObject({ daysLeft: { likely: 6 }, latestOn: '2026-03-28' })
  })

  it('watered on that last day it stays free of stress, and a day later it does not', () => {
    const stressIf = (wateredOn: string) =>
      rootZoneBalance({
        ...{ crop: plantable('tomato'), plantedOn: '2026-01-01', availableMmPerM: 130, startDepletionMm: 0 },
        days: Array.from({ length: 8 }, (_, index) => {
          const date = addDays(WEEK, index)
          return { date, etoMm: 5, rainMm: 0, irrigationMm: date === wateredOn ? 40 : 0 }
        }),
      }).some((day) => day.stress < 1)
    expect(stressIf('2026-03-28')).toBe(false)
    expect(stressIf('2026-03-29')).toBe(true)
  })

  it('is a range that widens with the doubt about the soil', () => {
    const sure = known({ availableMmPerM: { low: 130, likely: 130, high: 130 } }).daysLeft
    const unsure = known({ availableMmPerM: { low: 60, likely: 130, high: 200 } }).daysLeft
    expect(unsure.earliest!).toBeLessThan(sure.earliest!)
    expect(unsure.latest!).toBeGreaterThan(sure.latest!)
  })

  it('counts the turn that is agreed before the week', () => {
    const today = addDays(WEEK, -3)
    const days = lacking(6).filter((day) => day.date < today)
    const agreed = { date: addDays(WEEK, -2), etoMm: null, etoErrorFraction: 0, rainMm: null, broughtMm: 40 / 0.7 }
    const without = known({ today, days })
    const withTurn = known({ today, days: [...days, agreed] })
    expect(without.depletionMm.likely).toBeCloseTo(6 * 5.75, 0)
    expect(withTurn.depletionMm.likely).toBeCloseTo(5.75, 9)
    expect(withTurn.daysLeft.likely!).toBeGreaterThan(without.daysLeft.likely!)
  })
})

describe('the edges of the season', () => {
  it.each([
    ['before sowing', { plantedOn: addDays(WEEK, 7) }],
    ['after the last stage', { plantedOn: addDays(WEEK, -135) }],
    ['after an early harvest', { harvestedOn: addDays(WEEK, -1) }],
  ])('needs nothing %s, whatever the weather book lacks', (_when, change) => {
    const need = known({ plan: plan(change), days: [] })
    expect(need).toMatchObject({ turns: 0, kc: 0, stage: null, grossM3: { low: 0, likely: 0, high: 0 } })
  })

  it('of a crop sown in the week counts its days and the water of its bed', () => {
    const sown = plan({ plantedOn: addDays(WEEK, 5) })
    const need = known({ plan: sown, days: watered(daysBefore(WEEK, 60), 0) })
    // A dry month leaves the 0.2 m of the bed with nothing: 26 mm. Two days at 0.6 x 5 mm.
    expect(need.useMm.likely).toBeCloseTo(2 * 0.6 * 5, 9)
    expect(need.depletionMm.likely).toBeGreaterThan(24)
    expect(need.depletionMm.likely).toBeLessThanOrEqual(26)
    const moist = known({ plan: sown, days: watered(daysBefore(WEEK, 60), 6) })
    expect(moist.depletionMm.likely).toBeLessThan(1)
  })

  it('refuses an area of nothing, a harvest before planting, a soil that holds nothing and losses outside their range', () => {
    expect(() => known({ plan: plan({ areaM2: 0 }) })).toThrow(InputError)
    expect(() => known({ plan: plan({ harvestedOn: '2025-12-31' }) })).toThrow('harvest-before-planting')
    expect(() => known({ availableMmPerM: { low: 0, likely: 0, high: 0 } })).toThrow('soil-holds-nothing')
    expect(() => known({ rainRule: { thresholdMm: 5, fraction: 1.2 } })).toThrow('rain-rule-outside')
    expect(() => known({ efficiency: { low: 0, likely: 0.5, high: 0.9 } })).toThrow('efficiency-outside')
  })

  it('a bed is moist after rain and dries again', () => {
    const days = (rainOn: number) =>
      watered(daysBefore(WEEK, 30), 0).map((day) =>
        day.date === addDays(WEEK, -rainOn) ? { ...day, rainMm: 60 } : day,
      )
    const bed = (rainOn: number) => {
      const known = { plan: plan(), on: WEEK, days: days(rainOn), availableMmPerM: SOIL, efficiency: LOSSES }
      return seedBedMm(known).likely
    }
    expect(bed(1)).toBe(0)
    expect(bed(3)).toBeCloseTo(2 * 0.6 * 5, 9)
    expect(bed(25)).toBeGreaterThan(20)
  })
})

describe('a weather book with holes', () => {
  it('falls back on the measured days of a fortnight, says so and widens', () => {
    const days = base.days.map((day, at) => (at > 76 ? { ...day, etoMm: null } : day))
    const need = known({ days })
    expect(need.outlook!.expected).toMatchObject({ from: 'past-14-days', daysUsed: 9 })
    expect(need.assumptions[0]!.code).toBe('demand-from-past-14-days')
    expect(need.useMm.high - need.useMm.low).toBeGreaterThan(known().useMm.high - known().useMm.low)
  })

  it('cannot say with three measured days and no month table, nor without rain figures', () => {
    const need = weekNeed({ ...base, days: watered(daysBefore(WEEK, 3)) })
    expect(need).toMatchObject({
      known: false,
      reasons: [{ code: 'too-few-days-of-weather' }, { code: 'rain-not-measured', values: { days: 4 } }],
    })
  })

  it('takes the month table where there is no thermometer and no gauge, with a wider doubt', () => {
    const monthTableMmPerDay = [5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5]
    const days = base.days.map((day) => ({ ...day, etoMm: null, rainMm: null }))
    const need = known({ days, monthTableMmPerDay, unwrittenRain: 'none' })
    expect(need.useMm.likely).toBeCloseTo(40.25, 9)
    expect(need.assumptions.map((one) => one.code)).toEqual(['demand-from-month-table', 'missing-rain-counts-nothing'])
    expect(need.netMm.high - need.netMm.low).toBeGreaterThan(known().netMm.high - known().netMm.low)
    expect(() => known({ days, monthTableMmPerDay: [5, 5] })).toThrow('month-table-wrong')
  })

  it('an unwritten day of rain long ago may have been wet: the low end falls, the likely one does not', () => {
    const dry = lacking(12)
    const gap = dry.map((day) => (day.date === addDays(WEEK, -8) ? { ...day, rainMm: null } : day))
    const [full, holed] = [known({ days: dry }), known({ days: gap })]
    expect(holed.netMm.likely).toBeCloseTo(full.netMm.likely, 9)
    expect(holed.netMm.low).toBeLessThan(full.netMm.low)
  })
})

describe('the rain that counts', () => {
  it('is nothing of a light shower and three quarters of a storm, with no step between', () => {
    expect(creditedRainMm({ rainMm: 2.5 })).toBe(0)
    expect(creditedRainMm({ rainMm: 20 })).toBe(15)
    expect(creditedRainMm({ rainMm: 5 })).toBeCloseTo(0.5 * 0.75 * 7.5, 12)
    const { thresholdMm } = USUAL_RAIN_RULE
    for (let rainMm = 0; rainMm < 3 * thresholdMm; rainMm += 0.1) {
      const more = creditedRainMm({ rainMm: rainMm + 0.1 }) - creditedRainMm({ rainMm })
      expect(more).toBeGreaterThanOrEqual(0)
      expect(more).toBeLessThan(0.12)
    }
  })

  it('4.9 against 5.1 mm a day makes no other need', () => {
    const rained = (rainMm: number) => known({ days: lacking(7).map((day) => ({ ...day, rainMm })) }).grossM3.likely
    expect(rained(4.9) / rained(5.1)).toBeLessThan(1.05)
  })
})

describe('properties', () => {
  const rain = fc.array(fc.double({ min: 0, max: 60, noNaN: true }), { minLength: 7, maxLength: 7 })
  const withRain = (millimetres: number[]) =>
    lacking(7).map((day, at) => (at < 75 ? day : { ...day, rainMm: millimetres[at - 75]! }))

  it('more rain in the same showers never raises the need, nor either end of its range', () => {
    fc.assert(
      fc.property(rain, fc.double({ min: 1, max: 3, noNaN: true }), (millimetres, factor) => {
        const less = known({ days: withRain(millimetres) })
        const more = known({ days: withRain(millimetres.map((value) => value * factor)) })
        expect(more.netMm.likely).toBeLessThanOrEqual(less.netMm.likely + 1e-9)
        for (const end of ['low', 'likely', 'high'] as const) {
          expect(more.netMm[end]).toBeLessThanOrEqual(less.netMm[end] + 1e-9)
        }
      }),
    )
  })

  it('low, likely and high keep their order at any age of the crop', () => {
    fc.assert(
      fc.property(rain, fc.integer({ min: -10, max: 160 }), (millimetres, age) => {
        const { grossM3, netMm } = known({
          days: withRain(millimetres),
          plan: plan({ plantedOn: addDays(WEEK, -age) }),
        })
        expect(grossM3.low).toBeGreaterThanOrEqual(0)
        expect(grossM3.likely).toBeGreaterThanOrEqual(grossM3.low)
        expect(grossM3.high).toBeGreaterThanOrEqual(grossM3.likely)
        expect(netMm.high).toBeGreaterThanOrEqual(netMm.low)
      }),
    )
  })

  it('a hotter week never asks for less', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 9, noNaN: true }),
        fc.double({ min: 0, max: 3, noNaN: true }),
        (etoMm, hotter) => {
          const at = (value: number) =>
            known({ mostTurns: 1, days: watered(daysBefore(WEEK, 82, { etoMm: value }), 0) }).netMm
          expect(at(etoMm + hotter).likely).toBeGreaterThanOrEqual(at(etoMm).likely - 1e-9)
        },
      ),
    )
  })
})
