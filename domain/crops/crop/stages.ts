import { addDays, type CalendarDate, daysBetween } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'

/** A crop that stands for years rests from the end of its stages until they begin again. */
export type Stage = 'initial' | 'development' | 'mid-season' | 'late-season' | 'resting'

/** Days of the initial, development, mid-season and late-season stages. */
export type StageDays = readonly [number, number, number, number]

export const STAGES: readonly Stage[] = ['initial', 'development', 'mid-season', 'late-season']

export interface StageOnDay {
  stage: Stage
  /** 1 on the day of sowing. */
  day: number
  /** Part of the stage that is over at the end of the day, above 0 and up to 1. */
  passed: number
}

export interface Season {
  stageDays: StageDays
  plantedOn: CalendarDate
  /** Last day in the ground where it was cleared before its stages ended. */
  harvestedOn?: CalendarDate | null
  /** A crop that starts its stages again: each year, or after each cutting or ratoon where they are short. */
  repeats?: boolean
}

/** Days from sowing to harvest: the four stages together (FAO-56 (1998), Chapter 6). */
export function seasonLengthDays(stageDays: StageDays): number {
  return stageDays[0] + stageDays[1] + stageDays[2] + stageDays[3]
}

/**
 * The growth stage on a date; null before sowing and after harvest.
 * Days count from 1 and the last day of a stage still belongs to it (FAO-56 (1998), Example 28).
 */
export function stageOn(season: Season, date: CalendarDate): StageOnDay | null {
  if (season.harvestedOn && date > season.harvestedOn) return null
  return stageOnDay(season, daysBetween(season.plantedOn, date) + 1)
}

/** The stage of a day counted from 1 at sowing, in a season that runs its length; null outside it. */
export function stageOnDay(season: Pick<Season, 'stageDays' | 'repeats'>, daySinceSowing: number): StageOnDay | null {
  const length = seasonLengthDays(season.stageDays)
  if (daySinceSowing < 1 || (daySinceSowing > length && !season.repeats)) return null
  const day = Math.floor((daySinceSowing - 1) % roundDays(length)) + 1
  if (day > length) return { stage: 'resting', day, passed: 1 }
  let before = 0
  let index = 0
  while (day > before + season.stageDays[index]!) before += season.stageDays[index++]!
  return { stage: STAGES[index]!, day, passed: (day - before) / season.stageDays[index]! }
}

/** Stages shorter than this follow each other, as cuttings do; longer ones come once a year. Common practice, no source. */
const LONGEST_CUTTING_DAYS = 180
const DAYS_OF_A_YEAR = 365.25

/** After so many days a crop that repeats begins its stages again. */
function roundDays(length: number): number {
  return length < LONGEST_CUTTING_DAYS ? length : Math.max(length, DAYS_OF_A_YEAR)
}

export interface StagePeriod {
  stage: Stage
  from: CalendarDate
  /** Last day of the stage. */
  to: CalendarDate
}

/** From when to when each stage lasts, for a picture of the season; stages of no length are left out. Of a crop that repeats: the round of a day. */
export function stagePeriods(season: Season, on = season.plantedOn): StagePeriod[] {
  const { stageDays, harvestedOn } = season
  let from = roundStart(season, on)
  return STAGES.flatMap((stage, index) => {
    const start = from
    from = addDays(start, stageDays[index]!)
    const to = harvestedOn && harvestedOn < from ? harvestedOn : addDays(from, -1)
    return to >= start ? [{ stage, from: start, to }] : []
  })
}

function roundStart({ stageDays, plantedOn, repeats }: Season, on: CalendarDate): CalendarDate {
  if (!repeats || on <= plantedOn) return plantedOn
  const round = roundDays(seasonLengthDays(stageDays))
  return addDays(plantedOn, Math.ceil(Math.floor(daysBetween(plantedOn, on) / round) * round))
}

/** Throws InputError `stage-days-wrong` unless the four lengths are whole days, at least one in all. */
export function checkStageDays(stageDays: readonly number[]): asserts stageDays is StageDays {
  const whole = stageDays.length === 4 && stageDays.every((days) => Number.isInteger(days) && days >= 0)
  if (!whole || stageDays.every((days) => days === 0)) {
    throw new InputError('stage-days-wrong', { stageDays: stageDays.join(' ') })
  }
}
