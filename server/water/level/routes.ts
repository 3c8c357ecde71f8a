import { readingDoubt } from '../../../domain/water/level.ts'
import { drainableStorageM3 } from '../../../domain/water/sand/storage.ts'
import { write } from '../../book/pen.ts'
import { listPersons } from '../../people/person/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { type FormPage, formPage, numberedOption } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { bodyOf, levelsOf, type WeirSurvey } from '../sand/description.ts'
import { listSurveys, surveyInForce } from '../sand/description-store.ts'
import { waterStates } from '../storage/state.ts'
import { listWeirs } from '../weir/store.ts'
import { LevelCorrectionForm, LevelForm } from './forms.ts'
import { inputOfReading, type LevelInput, readingOfInput } from './input.ts'
import {
  addLevelReading,
  findReading,
  levelReadingOf,
  listReadings,
  type Reading,
  type WrittenReading,
} from './store.ts'

/** The level book: readings and their corrections. */
export function addLevelPages({ get, post }: Pages): void {
  get('/levels/new', 'level.record', newLevel)
  post('/levels', 'level.record', writeLevel)
  get('/levels/:id', 'water.see', showLevel)
  get('/levels/:id/corrections/new', 'level.record', newCorrection)
  post('/levels/:id/corrections', 'level.record', writeCorrection)
}

async function newLevel(desk: Desk) {
  const typed = { weirId: desk.query.weirId ?? '', readOn: desk.today, readerId: desk.person.id }
  return show(desk, newLevelPage(emptyForm(typed)))
}

async function writeLevel(desk: Desk) {
  const form = readForm(LevelForm, desk.body)
  if (!form.ok) return show(desk, newLevelPage(form))
  const read = await checked(desk, form.data, form)
  if ('problem' in read) return show(desk, newLevelPage(read.problem))
  return write(
    desk,
    (pen) => addLevelReading(pen, read.reading),
    (id) => `/water/levels/${id}`,
  )
}

async function showLevel(desk: Desk<'id'>) {
  const { db, format } = desk
  const reading = await readingOr404(desk)
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

async function newCorrection(desk: Desk<'id'>) {
  const reading = await correctable(desk)
  return show(desk, correctionPage(reading, emptyForm(inputOfReading(reading, desk.timeZone))))
}

async function writeCorrection(desk: Desk<'id'>) {
  const reading = await correctable(desk)
  const form = readForm(LevelCorrectionForm, desk.body)
  if (!form.ok) return show(desk, correctionPage(reading, form))
  const { reason } = form.data
  const read = await checked(desk, form.data, form)
  if ('problem' in read) return show(desk, correctionPage(reading, read.problem))
  return write(
    desk,
    (pen) => addLevelReading(pen, { ...read.reading, correctsId: reading.id, reason }),
    (id) => `/water/levels/${id}`,
  )
}

async function checked({ db, timeZone, at }: Desk, input: LevelInput, form: Filled) {
  if (!(await listWeirs(db)).some((weir) => weir.id === input.weirId))
    return { problem: withError(form, 'weirId', 'error.choose') }
  if (input.readerId && !(await listPersons(db)).some((person) => person.id === input.readerId))
    return { problem: withError(form, 'readerId', 'error.choose') }
  return readingOfInput(input, form, { timeZone, now: at })
}

async function readingOr404({ db, params }: Desk<'id'>): Promise<WrittenReading> {
  return found(await findReading(db, params.id))
}

/** A reading that was already corrected is mended at its correction, so that the chain stays one line. */
async function correctable(desk: Desk<'id'>): Promise<WrittenReading> {
  const reading = await readingOr404(desk)
  if (reading.correctedById) throw new PageError(409, 'water.level.already-corrected')
  return reading
}

async function readingBefore({ db }: Desk, reading: WrittenReading) {
  const earlier = await listReadings(db, { weirId: reading.weirId, toOn: reading.readOn })
  return earlier.filter((one) => one.happenedAt < reading.happenedAt).at(-1) ?? null
}

async function show(desk: Desk, shown: FormPage) {
  const options = {
    weirId: (await listWeirs(desk.db)).map(numberedOption),
    readerId: (await listPersons(desk.db)).map(numberedOption),
  }
  return formPage(desk, { ...shown, options })
}

const CAUTIONS = ['water.caution-chamber', 'water.caution-flood']

function newLevelPage(filled: Filled): FormPage {
  return {
    title: 'water.level.title',
    form: LevelForm,
    filled,
    action: '/water/levels',
    intro: ['water.level.intro'],
    cautions: CAUTIONS,
    back: '/water',
  }
}

function correctionPage({ id }: WrittenReading, filled: Filled): FormPage {
  return {
    title: 'water.level.correction-title',
    form: LevelCorrectionForm,
    filled,
    action: `/water/levels/${id}/corrections`,
    intro: ['water.level.correction-intro'],
    back: `/water/levels/${id}`,
  }
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

function riseSinceCm(reading: Reading, before: Reading | null): number {
  if (before?.waterLevelM == null || reading.waterLevelM === null) return 0
  return (reading.waterLevelM - before.waterLevelM) * 100
}
