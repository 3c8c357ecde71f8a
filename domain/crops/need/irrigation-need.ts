import { addDays, type CalendarDate, datesFromTo } from '../../calendar.ts'
import type { Range } from '../../units.ts'
import type { Climate } from '../crop/climate-adjustment.ts'
import type { Stage } from '../crop/stages.ts'
import { type CannotSay, type CropPlan, checkPlan, type Reason } from '../plan.ts'
import { type RootZoneDay, type RootZoneWeather, rootZoneBalance } from '../root-zone/balance.ts'
import { type BookedDay, type ExpectedDemand, expectedDemand } from './expected-demand.ts'
import { grossRangeM3, jerrycans, NEED_ERRORS } from './gross-range.ts'

export interface IrrigationNeedInput {
  plan: CropPlan
  weekStartsOn: CalendarDate
  /** Every day from the one that `startDepletionMm` belongs to up to the eve of the week. */
  days: readonly (BookedDay & { irrigationMm: number })[]
  /** Depletion at the start of the first of these days, or at sowing where that is later. */
  startDepletionMm: number
  availableMmPerM: number
  efficiency: Range
  /** Depletion that may be left at the end of the week; 0 refills the root zone. */
  leaveDepletionMm?: number
  monthTableMmPerDay?: readonly number[]
  climate?: Climate
}

export interface IrrigationNeed {
  known: true
  netMm: number
  grossM3: Range
  jerrycans: Range
  /** Days of the coming week and after that pass without stress if nothing is watered; null: none before harvest, or for ninety days. */
  daysLeftBeforeStress: number | null
  /** Last day on which watering comes in time; null where there is none to name or stress has begun (`daysLeftBeforeStress` 0). */
  latestDayBeforeStress: CalendarDate | null
  /** On the eve of the week. */
  depletionMm: number
  readilyAvailableMm: number
  kc: number
  stage: Stage | null
  working: {
    weekStartsOn: CalendarDate
    areaM2: number
    expected: ExpectedDemand | null
    /** The days behind, and those of the coming week with no water given. */
    past: RootZoneDay[]
    week: RootZoneDay[]
    etcMm: number
    leaveDepletionMm: number
    efficiency: Range
    errors: { coefficientFraction: number; etoFraction: number; narrowestFraction: number }
  }
}

const DAYS_AHEAD = 90

/**
 * Water that brings the root zone back by the end of the coming week, and the last day to water before stress: depletion on
 * the eve, from a daily balance of what was measured and given, plus the unstressed use of the week with no rain expected.
 * Where a day behind is missing: the reasons. Source: FAO-56 (1998), chapter 8, equations 84 to 88.
 */
export function irrigationNeed(input: IrrigationNeedInput): IrrigationNeed | CannotSay {
  checkPlan(input.plan)
  const expected = expectedDemand(input)
  const idle = rootZoneBalance({ ...input, ...input.plan, days: ahead(input, 0, 7), startDepletionMm: 0 }).length === 0
  if (idle) return needFrom(input, null, [], [])
  const reasons = reasonsAgainst(input, expected)
  if (reasons.length > 0) return { known: false, reasons }
  const days = [...pastDays(input), ...ahead(input, expected!.etoMmPerDay, DAYS_AHEAD)]
  const balance = rootZoneBalance({ ...input, ...input.plan, days })
  const past = balance.filter((day) => day.date < input.weekStartsOn)
  return needFrom(input, expected, past, balance.slice(past.length))
}

function ahead(input: IrrigationNeedInput, etoMm: number, days: number): RootZoneWeather[] {
  const last = addDays(input.weekStartsOn, days - 1)
  return datesFromTo(input.weekStartsOn, last).map((date) => ({ date, etoMm, rainMm: 0, irrigationMm: 0 }))
}

/** Days before sowing do not matter: the start depletion then belongs to the day of sowing. */
function standingDates({ plan, days, weekStartsOn }: IrrigationNeedInput): CalendarDate[] {
  const first = days[0] && days[0].date > plan.plantedOn ? days[0].date : plan.plantedOn
  return datesFromTo(first, addDays(weekStartsOn, -1))
}

function reasonsAgainst(input: IrrigationNeedInput, expected: ExpectedDemand | null): Reason[] {
  const reasons: Reason[] = []
  if (!expected) reasons.push({ code: 'too-few-days-of-weather', values: { weekStartsOn: input.weekStartsOn } })
  const booked = new Map(input.days.map((day) => [day.date, day]))
  const missing = (pick: (day: BookedDay) => number | null) =>
    standingDates(input).filter((date) => {
      const day = booked.get(date)
      return !day || pick(day) === null
    })
  const checks: [string, CalendarDate[]][] = [
    ['evapotranspiration-not-measured', missing((day) => day.etoMm)],
    ['rain-not-measured', missing((day) => day.rainMm)],
  ]
  for (const [code, dates] of checks) {
    if (dates.length > 0) reasons.push({ code, values: { days: dates.length, first: dates[0]! } })
  }
  return reasons
}

function pastDays(input: IrrigationNeedInput): RootZoneWeather[] {
  const booked = new Map(input.days.map((day) => [day.date, day]))
  return standingDates(input).map((date) => {
    const { etoMm, rainMm, irrigationMm } = booked.get(date)!
    return { date, etoMm: etoMm!, rainMm: rainMm!, irrigationMm }
  })
}

function needFrom(
  input: IrrigationNeedInput,
  expected: ExpectedDemand | null,
  past: RootZoneDay[],
  future: RootZoneDay[],
): IrrigationNeed {
  const { plan, efficiency, leaveDepletionMm = 0, weekStartsOn } = input
  const week = future.filter((day) => day.date < addDays(weekStartsOn, 7))
  const etcMm = week.reduce((sum, day) => sum + day.kc * expected!.etoMmPerDay, 0)
  const depletionMm = past.at(-1)?.depletionMm ?? (week.length > 0 ? input.startDepletionMm : 0)
  const netMm = week.length > 0 ? Math.max(0, depletionMm + etcMm - leaveDepletionMm) : 0
  const etoFraction = expected?.errorFraction ?? 0
  const etcErrorFraction = Math.hypot(NEED_ERRORS.coefficient, etoFraction)
  const grossM3 = grossRangeM3({ etcMm: netMm, creditedRainMm: 0, etcErrorFraction, efficiency, areaM2: plan.areaM2 })
  return {
    ...{ known: true, netMm, grossM3, jerrycans: jerrycans(grossM3), depletionMm },
    ...untilStress(weekStartsOn, future),
    readilyAvailableMm: past.at(-1)?.readilyAvailableMm ?? week[0]?.readilyAvailableMm ?? 0,
    kc: week.length > 0 ? week.reduce((sum, day) => sum + day.kc, 0) / week.length : 0,
    stage: week[0]?.stage ?? null,
    working: {
      ...{ weekStartsOn, areaM2: plan.areaM2, expected, past, week, etcMm, leaveDepletionMm, efficiency },
      errors: {
        coefficientFraction: NEED_ERRORS.coefficient,
        etoFraction,
        narrowestFraction: NEED_ERRORS.narrowest,
      },
    },
  }
}

/** Water given on a day relieves the next, since stress is taken from the depletion at the start of a day. */
function untilStress(weekStartsOn: CalendarDate, future: RootZoneDay[]) {
  const first = future.find((day) => day.stress < 1)
  if (!first) return { daysLeftBeforeStress: null, latestDayBeforeStress: null }
  const days = datesFromTo(weekStartsOn, first.date).length - 1
  return { daysLeftBeforeStress: days, latestDayBeforeStress: days > 0 ? addDays(first.date, -1) : null }
}
