import { type CalendarDate, daysBetween } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'

export type Stage = 'initial' | 'development' | 'mid-season' | 'late-season'

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
  /** A crop that starts its stages again after each cutting or ratoon. */
  repeats?: boolean
}

export function seasonLengthDays(stageDays: StageDays): number {
  return stageDays[0] + stageDays[1] + stageDays[2] + stageDays[3]
}

/**
 * The growth stage on a date; null before sowing and after harvest.
 * Days count from 1 and the last day of a stage still belongs to it (FAO-56 (1998), Example 28).
 */
export function stageOn(season: Season, date: CalendarDate): StageOnDay | null {
  if (season.harvestedOn && date > season.harvestedOn) return null
  const day = daysBetween(season.plantedOn, date) + 1
  const length = seasonLengthDays(season.stageDays)
  if (day < 1 || (day > length && !season.repeats)) return null
  return stageOnDay(season.stageDays, ((day - 1) % length) + 1)
}

/** The stage of a day counted from 1; null outside the stages. */
export function stageOnDay(stageDays: StageDays, day: number): StageOnDay | null {
  if (day < 1) return null
  let before = 0
  for (const [index, length] of stageDays.entries()) {
    if (day <= before + length) return { stage: STAGES[index]!, day, passed: (day - before) / length }
    before += length
  }
  return null
}

/** Throws InputError `stage-days-wrong` unless the four lengths are whole days, at least one in all. */
export function checkStageDays(stageDays: readonly number[]): asserts stageDays is StageDays {
  const whole = stageDays.length === 4 && stageDays.every((days) => Number.isInteger(days) && days >= 0)
  if (!whole || stageDays.every((days) => days === 0)) {
    throw new InputError('stage-days-wrong', { stageDays: stageDays.join(' ') })
  }
}
