import { type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import type { BookRest } from '../../../domain/water/loss/rests.ts'
import type { StoreLoss } from '../../../domain/water/path/store.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import type { Reading } from '../level/store.ts'
import type { WeirSurvey } from '../sand/description.ts'

interface KnownLoss {
  survey: WeirSurvey
  body: SandBody
  /** Of the weir, oldest first. */
  readings: readonly Reading[]
  rests: readonly BookRest[]
  /** Over the days of the rests, mm a day; null while their weather is not written. */
  openWaterMm: number | null
}

/** A fall that was settled before the book held a rest counts like one of so many days. */
const DAYS_OF_A_SETTLED_FALL = 4

/**
 * By what the path of the store reckons its loss: all rests of the book with the weather of their days; without that
 * weather their mean; and while there is no rest, the fall that the group settled on.
 */
export function storeLoss({ survey, body, readings, rests, openWaterMm }: KnownLoss): StoreLoss {
  const settled = settledFall(survey, body, readings)
  if (rests.length === 0) return settled
  if (openWaterMm === null) return meanFall(rests)
  const { fallCmPerDay, measuredAtLevelM } = settled
  if (fallCmPerDay === null || survey.lossSettledOn > rests[0]!.fromOn) return { rests, openWaterMm }
  const halfM = (fallCmPerDay * DAYS_OF_A_SETTLED_FALL) / 200
  const before = {
    startLevelM: measuredAtLevelM + halfM,
    endLevelM: measuredAtLevelM - halfM,
    days: DAYS_OF_A_SETTLED_FALL,
  }
  return { rests: [before, ...rests], openWaterMm }
}

/** The settled fall, at about the level at which the water stood when the group settled on it. */
function settledFall({ lossCmPerDay, lossSettledOn }: WeirSurvey, body: SandBody, readings: readonly Reading[]) {
  const known = readings.filter(({ waterLevelM }) => waterLevelM !== null)
  const near = known.findLast(({ readOn }) => readOn <= lossSettledOn) ?? known[0]
  return { fallCmPerDay: lossCmPerDay, measuredAtLevelM: near?.waterLevelM ?? body.crestLevelM }
}

function meanFall(rests: readonly BookRest[]) {
  const days = sum(rests, (rest) => rest.days)
  return {
    fallCmPerDay: sum(rests, ({ fallCm }) => fallCm) / days,
    measuredAtLevelM: sum(rests, (rest) => ((rest.startLevelM + rest.endLevelM) / 2) * rest.days) / days,
  }
}

/** The path knows the leak only as well as the last rest. */
const REST_EVERY_DAYS = 28

export interface RestDue {
  /** Last day of the last rest; null where there was none. */
  lastOn: CalendarDate | null
}

interface RestsOfSeason {
  on: CalendarDate
  season: { seasonStartOn: CalendarDate; seasonEndOn: CalendarDate } | null
  reading: Reading | null
  rests: readonly BookRest[]
}

/** Within the season a rest is asked for every four weeks, as long as nothing flows. */
export function restDue({ on, season, reading, rests }: RestsOfSeason): RestDue | null {
  const isSeason = season !== null && season.seasonStartOn <= on && on <= season.seasonEndOn
  if (!isSeason || reading?.waterLevelM == null || reading.flowSeen) return null
  const lastOn = rests.at(-1)?.toOn ?? null
  return lastOn === null || daysBetween(lastOn, on) > REST_EVERY_DAYS ? { lastOn } : null
}
