import { readingDoubt } from '../../../domain/water/level.ts'
import { levelsOf, type WeirSurvey } from '../sand/description.ts'
import type { Reading } from './store.ts'
import { levelReadingOf } from './store.ts'

/** Odd but possible: taken into the book, and explained by a sentence of the catalogue. */
interface ReadingFlag {
  key: string
  values: Record<string, string | number>
}

/** A level that stands higher than the last by more than this, with no flow seen, is worth a second look. */
const RISE_TO_ASK_CM = 10

/** What is odd about a reading, and what that means for the figures made from it. */
export function readingFlags({
  reading,
  survey,
  before,
}: {
  reading: Reading
  /** The description of the sand on the day of the reading. */
  survey: WeirSurvey | null
  /** The standing reading before this one. */
  before: Reading | null
}): ReadingFlag[] {
  const flags = survey ? levelFlags(reading, survey) : [{ key: 'water.flag.before-survey', values: {} }]
  const riseCm = riseSinceCm(reading, before)
  if (before && riseCm > RISE_TO_ASK_CM && !reading.flowSeen)
    flags.push({ key: 'water.flag.rose', values: { cm: Math.round(riseCm) } })
  const { reasons } = readingDoubt({ ...levelReadingOf(reading), ageDays: 0 })
  return [...flags, ...reasons.map((reason) => ({ key: `water.doubt.${reason}`, values: {} }))]
}

function levelFlags({ waterLevelM }: Reading, survey: WeirSurvey): ReadingFlag[] {
  if (waterLevelM === null) return []
  const { bedLevelM } = levelsOf(survey)
  const aboveCm = Math.round((waterLevelM - survey.crestLevelM) * 100)
  const belowCm = Math.round((bedLevelM - waterLevelM) * 100)
  if (aboveCm > 0) return [{ key: 'water.flag.above-crest', values: { cm: aboveCm } }]
  if (belowCm > 0) return [{ key: 'water.flag.below-bed', values: { cm: belowCm } }]
  return []
}

function riseSinceCm(reading: Reading, before: Reading | null): number {
  if (before?.waterLevelM == null || reading.waterLevelM === null) return 0
  return (reading.waterLevelM - before.waterLevelM) * 100
}
