import { addDays, type CalendarDate, datesFromTo } from '../../calendar.ts'
import type { Range } from '../../units.ts'
import type { Climate } from '../crop/climate-adjustment.ts'
import { cropCoefficient } from '../crop/coefficient.ts'
import { type Stage, stageOn } from '../crop/stages.ts'
import { type CannotSay, type CropPlan, checkPlan, type Reason } from '../plan.ts'
import { checkAvailableWater } from '../root-zone/available-water.ts'
import { rootDepthOn } from '../root-zone/root-depth.ts'
import { type BookedDay, type ExpectedDemand, expectedDemand } from './expected-demand.ts'
import { grossRangeM3, jerrycans, NEED_ERRORS } from './gross-range.ts'
import { creditedRainMm, type RainRule, USUAL_RAIN_RULE } from './rain.ts'

export interface WeeklyNeedInput {
  plan: CropPlan
  /** First day of the coming week. */
  weekStartsOn: CalendarDate
  /** The weather book, at least the past seven and better the past fourteen days; other days are ignored. */
  days: readonly BookedDay[]
  /** Water that a metre of the plot's soil holds for roots. */
  availableMmPerM: number
  efficiency: Range
  rainRule?: RainRule
  /** A group without a rain gauge may choose to count no rain; otherwise a missing day of rain is a reason not to answer. */
  missingRain?: 'cannot-say' | 'counts-nothing'
  monthTableMmPerDay?: readonly number[]
  climate?: Climate
}

export interface WeeklyNeed {
  known: true
  netMm: number
  grossM3: Range
  jerrycans: Range
  /** Of the first day of the week on which the crop stands; null where it does not. */
  stage: Stage | null
  /** Mean of the week's days on which the crop stands; 0 where it does not. */
  kc: number
  working: WeeklyWorking
}

export interface WeeklyWorking {
  weekStartsOn: CalendarDate
  areaM2: number
  /** Null in a week without the crop, when no weather is asked for. */
  expected: ExpectedDemand | null
  days: { date: CalendarDate; stage: Stage; kc: number; etcMm: number }[]
  etcMm: number
  pastRain: { date: CalendarDate; rainMm: number | null }[]
  rainRule: RainRule
  rootZoneHoldsMm: number
  creditedRainMm: number
  efficiency: Range
  errors: Record<
    'coefficientFraction' | 'etoFraction' | 'creditedRainFraction' | 'missingRainFraction' | 'narrowestFraction',
    number
  >
  assumptions: Reason[]
}

/**
 * Water that a plot needs in the coming week: the sum over its seven days of Kc x expected reference evapotranspiration, less
 * the credited rain of the past week, never below zero, divided by the method's efficiency. Zero before sowing and after
 * harvest. Where the weather book does not carry an answer: the reasons. Source: FAO-56 (1998), equation 58 for the crop's use;
 * the way of looking one week back is common practice, no source. It does not know how wet the soil is: see `irrigationNeed`.
 */
export function weeklyNeed(input: WeeklyNeedInput): WeeklyNeed | CannotSay {
  checkPlan(input.plan)
  checkAvailableWater(input.availableMmPerM)
  const coefficients = weekCoefficients(input)
  const expected = expectedDemand(input)
  const pastRain = rainOfPastWeek(input)
  const reasons = coefficients.length > 0 ? reasonsAgainst(input, expected, pastRain) : []
  if (reasons.length > 0) return { known: false, reasons }
  return needFrom(input, coefficients, coefficients.length > 0 ? expected : null, pastRain)
}

type DayCoefficient = { date: CalendarDate; stage: Stage; kc: number }
type PastRain = WeeklyWorking['pastRain']

function weekCoefficients(input: WeeklyNeedInput): DayCoefficient[] {
  return datesFromTo(input.weekStartsOn, addDays(input.weekStartsOn, 6)).flatMap((date) => {
    const coefficient = cropCoefficient({ ...input.plan, climate: input.climate, date })
    return coefficient ? [{ date, stage: coefficient.stage, kc: coefficient.kc }] : []
  })
}

function rainOfPastWeek({ days, weekStartsOn }: WeeklyNeedInput): PastRain {
  return datesFromTo(addDays(weekStartsOn, -7), addDays(weekStartsOn, -1)).map((date) => ({
    date,
    rainMm: days.find((day) => day.date === date)?.rainMm ?? null,
  }))
}

function reasonsAgainst(input: WeeklyNeedInput, expected: ExpectedDemand | null, pastRain: PastRain): Reason[] {
  const reasons: Reason[] = []
  if (!expected) reasons.push({ code: 'too-few-days-of-weather', values: { weekStartsOn: input.weekStartsOn } })
  const missing = pastRain.filter((day) => day.rainMm === null)
  if (missing.length > 0 && input.missingRain !== 'counts-nothing') {
    reasons.push({ code: 'rain-not-measured', values: { days: missing.length, first: missing[0]!.date } })
  }
  return reasons
}

function needFrom(
  input: WeeklyNeedInput,
  coefficients: DayCoefficient[],
  expected: ExpectedDemand | null,
  pastRain: PastRain,
): WeeklyNeed {
  const { plan, efficiency, rainRule = USUAL_RAIN_RULE } = input
  const days = coefficients.map((day) => ({ ...day, etcMm: day.kc * (expected?.etoMmPerDay ?? 0) }))
  const etcMm = days.reduce((sum, day) => sum + day.etcMm, 0)
  const rootZoneHoldsMm = days.length > 0 ? holds(input, days[0]!.date) : 0
  const dailyRainMm = pastRain.map((day) => day.rainMm ?? 0)
  const credited = creditedRainMm({ dailyRainMm, rule: rainRule, rootZoneHoldsMm })
  const etoFraction = expected?.errorFraction ?? 0
  const missingRainFraction = pastRain.some((day) => day.rainMm === null) ? NEED_ERRORS.missingRain : 0
  const etcErrorFraction = Math.hypot(NEED_ERRORS.coefficient, etoFraction, missingRainFraction)
  const grossM3 = grossRangeM3({ etcMm, creditedRainMm: credited, etcErrorFraction, efficiency, areaM2: plan.areaM2 })
  return {
    known: true,
    netMm: Math.max(0, etcMm - credited),
    grossM3,
    jerrycans: jerrycans(grossM3),
    stage: days[0]?.stage ?? null,
    kc: days.length > 0 ? days.reduce((sum, day) => sum + day.kc, 0) / days.length : 0,
    working: {
      ...{ weekStartsOn: input.weekStartsOn, areaM2: plan.areaM2, expected, days, etcMm },
      ...{ pastRain, rainRule, rootZoneHoldsMm, creditedRainMm: credited, efficiency },
      errors: {
        coefficientFraction: NEED_ERRORS.coefficient,
        etoFraction,
        creditedRainFraction: NEED_ERRORS.creditedRain,
        missingRainFraction,
        narrowestFraction: NEED_ERRORS.narrowest,
      },
      assumptions: assumptions(expected, pastRain),
    },
  }
}

function holds({ plan, availableMmPerM }: WeeklyNeedInput, date: CalendarDate): number {
  const { crop } = plan
  const place = stageOn({ ...plan, stageDays: crop.stageDays }, date)!
  return availableMmPerM * rootDepthOn({ place, fullM: crop.rootDepthMinM, grown: crop.perennial })
}

function assumptions(expected: ExpectedDemand | null, pastRain: PastRain): Reason[] {
  if (!expected) return []
  const found: Reason[] = []
  if (expected.from !== 'past-7-days') {
    found.push({ code: `demand-from-${expected.from}`, values: { daysUsed: expected.daysUsed } })
  }
  const missing = pastRain.filter((day) => day.rainMm === null).length
  if (missing > 0) found.push({ code: 'missing-rain-counts-nothing', values: { days: missing } })
  return found
}
