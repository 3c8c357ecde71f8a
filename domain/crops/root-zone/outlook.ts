import { addDays, type CalendarDate, datesFromTo, daysBetween } from '../../calendar.ts'
import type { Range } from '../../units.ts'
import type { Climate } from '../crop/climate-adjustment.ts'
import { NEED_ERRORS } from '../demand/errors.ts'
import { type BookedDay, type ExpectedDemand, expectedDemand } from '../demand/expected-demand.ts'
import { type FilledDay, fillMissingDays } from '../demand/filled-days.ts'
import { creditedRainMm, type RainRule, USUAL_RAIN_RULE } from '../demand/rain.ts'
import { type CannotSay, type CropPlan, checkPlan } from '../plan.ts'
import { type RootZoneDay, type RootZoneWeather, rootZoneBalance } from './balance.ts'

/** A day of the weather book with the water brought to the crop's ground, before the losses of the method. */
export interface WateredDay extends BookedDay {
  broughtMm: number
  /** Of an agreed turn without a word: anything between nothing and this came, likely all; left out where there was none. */
  untypedMm?: number
}

export interface RootZoneOutlookInput {
  plan: CropPlan
  /** First day to come; the days before it are the past. Days from here on may carry water that is planned. */
  today: CalendarDate
  days: readonly WateredDay[]
  /** First day that the book knows; a crop sown earlier is followed from here. */
  bookFromOn: CalendarDate | null
  /** Water that a metre of the plot's soil holds for roots, mm. */
  availableMmPerM: Range
  /** Part of the ground under which roots find water; all of it where left out. */
  rootedPart?: Range | undefined
  /** Part of the water brought that stays with the roots. */
  efficiency: Range
  rainRule?: RainRule | undefined
  /** Whether a day without a written rain may have been wet; a group without a gauge says that it was dry. */
  unwrittenRain?: 'unknown' | 'none' | undefined
  monthTableMmPerDay?: readonly number[] | undefined
  climate?: Climate | undefined
}

/** Days until the crop begins to suffer; null: none before harvest, or for ninety days. */
export interface DaysLeft {
  earliest: number | null
  likely: number | null
  latest: number | null
}

/** -1 the wet end of the doubt, 0 likely, 1 the dry end. */
export type Side = -1 | 0 | 1

export interface RootZoneOutlook {
  known: true
  past: RootZoneDay[]
  /** The days to come by the likely demand, with no rain and no other water than what is planned. */
  ahead: RootZoneDay[]
  /** Past and days to come at both ends of the doubt and likely. */
  runs: Record<Side, RootZoneDay[]>
  /** What was drawn down before the first day that is followed, mm. */
  startMm: Record<Side, number>
  /** Reference evapotranspiration expected on a day to come at each of them, mm. */
  etoMmPerDay: Record<Side, number>
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

/** Demand, soil, rain and losses seldom err to the same side together: each end takes so much of each. Common practice, no source. */
const SELDOM_TOGETHER = 0.7

/**
 * The root zone day by day up to the eve of today, mm, and how long its water lasts with none added but what is planned. Its
 * ends take demand (coefficient and weather), soil, rain, the losses of the method, filled days, unwritten rain, untyped turns
 * and an unknown start to one side. Where the book does not carry an answer: the reasons. Throws what `checkPlan` throws.
 * Source: FAO-56 (1998), chapter 8, equations 84 to 88; the filling and the ends: common practice, no source.
 */
export function rootZoneOutlook(input: RootZoneOutlookInput): RootZoneOutlook | CannotSay {
  checkPlan(input.plan)
  creditedRainMm({ rainMm: 0, rule: input.rainRule }) // refuses a rule that cannot be meant
  const { plan, today, bookFromOn } = input
  const expected = expectedDemand({ ...input, weekStartsOn: today })
  const startUnknown = bookFromOn !== null && bookFromOn > plan.plantedOn
  const fromOn = startUnknown ? bookFromOn : plan.plantedOn
  const past = fillMissingDays({ ...input, fromOn, toOn: addDays(today, -1) })
  if (!expected) return because('too-few-days-of-weather', { weekStartsOn: today })
  if (!past) return because('too-many-days-missing', { first: fromOn })
  const filledOn = new Map(past.filled.map((day) => [day.date, day]))
  const broughtOn = new Map(input.days.map((day) => [day.date, day]))
  const story: Story = { input, days: past.days, filledOn, broughtOn, expected, startUnknown }
  const runs = { [-1]: runOf(story, -1), 0: runOf(story, 0), 1: runOf(story, 1) }
  const daysLeft = {
    earliest: untilStress(today, runs[1]),
    likely: untilStress(today, runs[0]),
    latest: untilStress(today, runs[-1]),
  }
  const hasTime = daysLeft.earliest !== null && daysLeft.earliest >= 1
  return {
    known: true,
    past: runs[0].filter((day) => day.date < today),
    ahead: runs[0].filter((day) => day.date >= today),
    runs,
    startMm: { [-1]: startMm(story, -1), 0: startMm(story, 0), 1: startMm(story, 1) },
    etoMmPerDay: { [-1]: etoAt(expected, -1), 0: etoAt(expected, 0), 1: etoAt(expected, 1) },
    filled: past.filled,
    startUnknown,
    expected,
    daysLeft,
    waterByOn: hasTime ? addDays(today, daysLeft.earliest! - 1) : null,
    demandErrorFraction: demandError(expected.errorFraction),
  }
}

interface Story {
  input: RootZoneOutlookInput
  days: BookedDay[]
  filledOn: Map<CalendarDate, FilledDay>
  broughtOn: Map<CalendarDate, WateredDay>
  expected: ExpectedDemand
  startUnknown: boolean
}

/** Rain that fills any root zone: what an unwritten day may have brought. */
const SOAKING_MM = 1000

/** Days behind whose errors are carried on; what erred before has shown in the crop. Common practice, no source. */
const DAYS_IN_DOUBT = 14

/** Up to a fortnight ago by the likely course, but for the days that nobody wrote; from there on to one side. */
function runOf(story: Story, side: Side): RootZoneDay[] {
  const days = [...story.days, ...daysToCome(story)]
  const fromOn = addDays(story.input.today, -DAYS_IN_DOUBT)
  const settled = side === 0 ? days : days.filter((day) => day.date < fromOn)
  const before = balanceOf(story, settled, { side: 0, gaps: side, startDepletionMm: startMm(story, side) })
  const startDepletionMm = before.at(-1)?.depletionMm ?? startMm(story, side)
  return [...before, ...balanceOf(story, days.slice(settled.length), { side, gaps: side, startDepletionMm })]
}

/** A smaller store than that of the likely course cannot begin more drawn down than it holds. */
function balanceOf(
  story: Story,
  days: readonly BookedDay[],
  { side, gaps, startDepletionMm }: { side: Side; gaps: Side; startDepletionMm: number },
): RootZoneDay[] {
  const shared = sharedInput(story, side)
  const course = days.map((day) => dayAt(story, day, { side, gaps }))
  const holdsMm = rootZoneBalance({ ...shared, days: course, startDepletionMm: 0 })[0]?.totalAvailableMm ?? 0
  return rootZoneBalance({ ...shared, days: course, startDepletionMm: Math.min(startDepletionMm, holdsMm) })
}

type SharedInput = Omit<Parameters<typeof rootZoneBalance>[0], 'days' | 'startDepletionMm'>

function sharedInput({ input }: Story, side: Side): SharedInput {
  const rule = input.rainRule ?? USUAL_RAIN_RULE
  const fraction = Math.min(1, rule.fraction * (1 - side * SELDOM_TOGETHER * NEED_ERRORS.creditedRain))
  return {
    ...input.plan,
    climate: input.climate,
    availableMmPerM: at(input.availableMmPerM, -side),
    rootedPart: input.rootedPart && at(input.rootedPart, -side),
    rainRule: { thresholdMm: rule.thresholdMm, fraction },
  }
}

function dayAt(
  { input, filledOn, broughtOn }: Story,
  { date, etoMm, etoErrorFraction, rainMm }: BookedDay,
  { side, gaps }: { side: Side; gaps: Side },
): RootZoneWeather {
  const gap = filledOn.get(date)
  const mayBeWet = gaps < 0 && gap?.rain
  const { broughtMm: brought = 0, untypedMm: agreed = 0 } = broughtOn.get(date) ?? {}
  const untypedMm = gaps > 0 ? 0 : agreed
  const soaked = mayBeWet && input.unwrittenRain !== 'none'
  const unseenPart = mayBeWet && !soaked ? NEED_ERRORS.missingRain : 0
  return {
    date,
    etoMm: etoMm! * factorOf(etoErrorFraction, gap?.demand ? gaps : side) * (1 - unseenPart),
    rainMm: soaked ? SOAKING_MM : rainMm!,
    irrigationMm: (brought + untypedMm) * at(input.efficiency, -side),
  }
}

/** Rain of a day to come counts where it has been read already. */
function daysToCome({ input, expected }: Story): BookedDay[] {
  const read = new Map(input.days.map((day) => [day.date, day]))
  return datesFromTo(input.today, addDays(input.today, DAYS_AHEAD - 1)).map((date) => ({
    date,
    etoMm: expected.etoMmPerDay,
    etoErrorFraction: expected.errorFraction,
    rainMm: read.get(date)?.rainMm ?? 0,
  }))
}

/**
 * Seed is put into a moist bed, so the balance starts full on the day of sowing. A crop that stood before the book began has
 * used something between nothing and its readily available water. Common practice, no source.
 */
function startMm(story: Story, side: Side): number {
  if (!story.startUnknown || side < 0) return 0
  const first = [...story.days, ...daysToCome(story)][0]!
  const weather = { date: first.date, etoMm: first.etoMm!, rainMm: 0, irrigationMm: 0 }
  const day = rootZoneBalance({ ...sharedInput(story, side), days: [weather], startDepletionMm: 0 })[0]
  return (side > 0 ? 1 : 0.5) * (day?.readilyAvailableMm ?? 0)
}

/** A value between the ends of a range, as far to one of them as the doubts are taken together. */
function at({ low, likely, high }: Range, side: number): number {
  return likely + SELDOM_TOGETHER * side * (side < 0 ? likely - low : high - likely)
}

function demandError(etoErrorFraction: number): number {
  return Math.hypot(NEED_ERRORS.coefficient, etoErrorFraction)
}

function factorOf(etoErrorFraction: number, side: Side): number {
  return Math.max(0, 1 + side * SELDOM_TOGETHER * demandError(etoErrorFraction))
}

function etoAt({ etoMmPerDay, errorFraction }: ExpectedDemand, side: Side): number {
  return etoMmPerDay * factorOf(errorFraction, side)
}

function untilStress(today: CalendarDate, days: readonly RootZoneDay[]): number | null {
  const first = days.find((day) => day.date >= today && day.stress < 1)
  return first ? daysBetween(today, first.date) : null
}

function because(code: string, values: Record<string, string | number>): CannotSay {
  return { known: false, reasons: [{ code, values }] }
}
