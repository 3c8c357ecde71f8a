import { readingDoubt } from '../../../domain/water/level.ts'
import { drainableStorageM3 } from '../../../domain/water/sand/storage.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { findReading, levelReadingOf, listReadings, type Reading, type WrittenReading } from '../level/store.ts'
import { bodyOf, levelsOf, type WeirSurvey } from '../sand/description.ts'
import { listSurveys, surveyInForce } from '../sand/description-store.ts'
import { listWeirs } from '../weir/store.ts'
import { waterStates } from './state.ts'

/** One line of the level book, with what it means for the water and what is odd about it. */
export function addReadingPages({ get }: Pages): void {
  get('/water/lines/level/:id', 'water.see', showLevel)
}

async function showLevel(desk: Desk<'id'>) {
  const { db, format } = desk
  const reading = found(await findReading(db, desk.params.id))
  const weir = found((await listWeirs(db)).find((one) => one.id === reading.weirId))
  const survey = surveyInForce(await listSurveys(db, weir.id), weir.id, reading.readOn)
  const { waterLevelM } = reading
  return page(desk, 'water/level', {
    title: 'water.level.heading',
    titleValues: { number: weir.number, date: format.date(reading.readOn) },
    weir,
    reading,
    survey,
    stored: survey && waterLevelM !== null ? drainableStorageM3({ body: bodyOf(survey), waterLevelM }) : null,
    flags: readingFlags({ reading, survey, before: await readingBefore(desk, reading) }),
    doubted: reading.correctedById ? null : await doubtWords(desk, reading),
  })
}

/** Why the reading waits to be borne out, and what rules meanwhile; null where it rules itself. */
async function doubtWords({ db, today, t, format }: Desk, { id, weirId }: WrittenReading) {
  const state = (await waterStates(db, { on: today })).find(({ weir }) => weir.id === weirId)
  const doubt = state?.doubts.find((one) => one.id === id)
  if (!state || !doubt) return null
  const cm = Math.round(doubt.apartCm)
  const rules = t('water.doubted.rules', { date: format.date(state.reading!.readOn) })
  return { weirId, words: `${t(`water.doubted.${doubt.cause}`, { cm })} ${rules}` }
}

async function readingBefore({ db }: Desk, reading: WrittenReading) {
  const earlier = await listReadings(db, { weirId: reading.weirId, toOn: reading.readOn })
  return earlier.filter((one) => one.happenedAt < reading.happenedAt).at(-1) ?? null
}

/** Odd but possible: taken into the book, and explained by a sentence of the catalogue. */
interface ReadingFlag {
  key: string
  values: Record<string, string | number>
}

/** A level that stands higher than the last by more than this, with no flow seen, is worth a second look. */
const RISE_TO_ASK_CM = 10

/** What is odd about a reading, and what that means for the figures made from it. */
function readingFlags({
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

/** To the millimetre, as the stick was read. */
function riseSinceCm(reading: Reading, before: Reading | null): number {
  if (before?.waterLevelM == null || reading.waterLevelM === null) return 0
  return Math.round((reading.waterLevelM - before.waterLevelM) * 1000) / 10
}
