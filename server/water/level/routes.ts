import { ascending, least } from 'd3-array'
import { write } from '../../book/pen.ts'
import { listPersons } from '../../people/person/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { keptFrom, nextOr, type Repeated } from '../../web/pages/another.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { type FormPage, formPage, numberedOption } from '../../web/pages/form-page.ts'
import { listWeirs } from '../weir/store.ts'
import { LevelCorrectionForm, LevelForm } from './forms.ts'
import { inputOfReading, type LevelInput, readingOfInput } from './input.ts'
import { addLevelReading, findReading, listReadings, type WrittenReading } from './store.ts'

/** Whoever reads one weir goes on to the next. */
const NEXT_LEVEL: Repeated = { path: '/water/levels/new', keeps: ['readOn', 'readAt', 'readerId'] }

/** After one weir the form is for that whose last level is the oldest. */
async function longestUnread({ db }: Desk): Promise<string> {
  const lastOf = new Map((await listReadings(db)).map(({ weirId, happenedAt }) => [weirId, happenedAt]))
  const weirs = (await listWeirs(db)).map(({ id }) => ({ id, last: lastOf.get(id) ?? '' }))
  return least(weirs, (one, other) => ascending(one.last, other.last))?.id ?? ''
}

/** The level book: readings and their corrections. */
export function addLevelPages({ get, post }: Pages): void {
  get('/water/levels/new', 'level.record', newLevel)
  post('/water/levels/new', 'level.record', writeLevel)
  get('/water/lines/level/:id/correct', 'level.record', newCorrection)
  post('/water/lines/level/:id/correct', 'level.record', writeCorrection)
}

async function newLevel(desk: Desk) {
  const typed = {
    weirId: desk.query.weirId ?? (desk.query.after ? await longestUnread(desk) : ''),
    readOn: desk.today,
    readerId: desk.person.id,
    ...keptFrom(desk, NEXT_LEVEL),
  }
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
    (id) => nextOr(desk, NEXT_LEVEL, `/water/lines/level/${id}`),
  )
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
    (id) => `/water/lines/level/${id}`,
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
    action: '/water/levels/new',
    intro: ['water.level.intro'],
    cautions: CAUTIONS,
    back: '/water',
    another: true,
  }
}

function correctionPage({ id }: WrittenReading, filled: Filled): FormPage {
  return {
    title: 'water.level.correction-title',
    form: LevelCorrectionForm,
    filled,
    action: `/water/lines/level/${id}/correct`,
    intro: ['water.level.correction-intro'],
    back: `/water/lines/level/${id}`,
  }
}
