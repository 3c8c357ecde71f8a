import { addDays, type CalendarDate, datesFromTo, daysBetween } from '../../calendar.ts'
import type { Climate } from '../crop/climate-adjustment.ts'
import { type CannotSay, type CropPlan, checkPlan } from '../plan.ts'
import { type RootZoneDay, type RootZoneWeather, rootZoneBalance } from '../root-zone/balance.ts'
import { type BookedDay, type ExpectedDemand, expectedDemand } from './expected-demand.ts'
import { type FilledDay, fillMissingDays } from './filled-days.ts'
import { NEED_ERRORS } from './gross-range.ts'

export interface RootZoneOutlookInput {
  plan: CropPlan
  /** First day to come; the days before it are the past. */
  today: CalendarDate
  /** The weather book with the depth of irrigation that reached the root zone. */
  days: readonly (BookedDay & { irrigationMm: number })[]
  /** First day that the book knows; a crop sown earlier is followed from here. */
  bookFromOn: CalendarDate | null
  availableMmPerM: number
  monthTableMmPerDay?: readonly number[] | undefined
  climate?: Climate | undefined
}

/** Days until the crop begins to suffer; null: none before harvest, or for ninety days. */
export interface DaysLeft {
  earliest: number | null
  likely: number | null
  latest: number | null
}

export interface RootZoneOutlook {
  known: true
  past: RootZoneDay[]
  /** The days to come with no rain and no watering, by the likely demand. */
  ahead: RootZoneDay[]
  filled: FilledDay[]
  /** The crop was sown before the book began, so the start is not known. */
  startUnknown: boolean
  expected: ExpectedDemand
  daysLeft: DaysLeft
  /** Last day on which watering comes in time on the cautious side; null where there is none to name. */
  waterByOn: CalendarDate | null
  demandErrorFraction: number
}

const DAYS_AHEAD = 90

/**
 * The root zone day by day up to the eve of today, and how long its water lasts with none added. The range takes the coming
 * demand and that of filled days at both ends of their error, takes a day of unwritten rain once as dry and once as a
 * soaking, and a start before the book once as full and once as used up to the readily available water.
 * Source: FAO-56 (1998), chapter 8, equations 84 to 88; the filling and the range: common practice, no source.
 */
export function rootZoneOutlook(input: RootZoneOutlookInput): RootZoneOutlook | CannotSay {
  checkPlan(input.plan)
  const expected = expectedDemand({ ...input, weekStartsOn: input.today })
  const { plantedOn } = input.plan
  const startUnknown = input.bookFromOn !== null && input.bookFromOn > plantedOn
  const fromOn = startUnknown ? input.bookFromOn! : plantedOn
  const toOn = addDays(input.today, -1)
  const filled = fillMissingDays({ ...input, fromOn, toOn })
  if (!expected) return because('too-few-days-of-weather', { weekStartsOn: input.today })
  if (!filled) return because('too-many-days-missing', { first: fromOn })
  const run: Run = { input, ...filled, expected, startUnknown }
  const demandErrorFraction = Math.hypot(NEED_ERRORS.coefficient, expected.errorFraction)
  const likely = balance(run, 0, 0)
  const daysLeft = {
    earliest: untilStress(input.today, balance(run, demandErrorFraction, 1)),
    likely: untilStress(input.today, likely),
    latest: untilStress(input.today, balance(run, -demandErrorFraction, -1)),
  }
  const past = likely.filter((day) => day.date < input.today)
  const waterByOn =
    daysLeft.earliest === null || daysLeft.earliest < 1 ? null : addDays(input.today, daysLeft.earliest - 1)
  const ahead = likely.slice(past.length)
  return {
    known: true,
    past,
    ahead,
    filled: filled.filled,
    startUnknown,
    expected,
    daysLeft,
    waterByOn,
    demandErrorFraction,
  }
}

interface Run {
  input: RootZoneOutlookInput
  days: BookedDay[]
  filled: FilledDay[]
  expected: ExpectedDemand
  startUnknown: boolean
}

/** Rain that fills any root zone: what an unwritten day may have brought. */
const SOAKING_MM = 1000

function balance(run: Run, demandError: number, side: -1 | 0 | 1): RootZoneDay[] {
  const { input, expected } = run
  const irrigation = new Map(input.days.map((day) => [day.date, day.irrigationMm]))
  const gaps = new Map(run.filled.map((day) => [day.date, day]))
  const past = run.days.map(({ date, etoMm, etoErrorFraction, rainMm }): RootZoneWeather => {
    const gap = gaps.get(date)
    return {
      date,
      etoMm: etoMm! * (gap?.demand ? Math.max(0, 1 + side * etoErrorFraction) : 1),
      rainMm: gap?.rain && side < 0 ? SOAKING_MM : rainMm!,
      irrigationMm: irrigation.get(date) ?? 0,
    }
  })
  const days = [...past, ...ahead(input.today, expected.etoMmPerDay * Math.max(0, 1 + demandError))]
  return rootZoneBalance({ ...input, ...input.plan, days, startDepletionMm: startMm(run, days[0]!, side) })
}

function ahead(today: CalendarDate, etoMm: number): RootZoneWeather[] {
  const dates = datesFromTo(today, addDays(today, DAYS_AHEAD - 1))
  return dates.map((date) => ({ date, etoMm, rainMm: 0, irrigationMm: 0 }))
}

/** Seed is put into a moist bed, so the balance starts full on the day of sowing: common practice, no source. */
function startMm({ input, startUnknown }: Run, firstDay: RootZoneWeather, side: -1 | 0 | 1): number {
  if (!startUnknown || side <= 0) return 0
  const first = rootZoneBalance({ ...input, ...input.plan, days: [firstDay], startDepletionMm: 0 })[0]
  return first?.readilyAvailableMm ?? 0
}

function untilStress(today: CalendarDate, days: readonly RootZoneDay[]): number | null {
  const first = days.find((day) => day.date >= today && day.stress < 1)
  return first ? daysBetween(today, first.date) : null
}

function because(code: string, values: Record<string, string | number>): CannotSay {
  return { known: false, reasons: [{ code, values }] }
}
