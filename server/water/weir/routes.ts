import { specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import { stageStorageCurve } from '../../../domain/water/sand/storage.ts'
import { throwbackM } from '../../../domain/water/sand/wedge-volume.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { SurveyForm, WeirForm } from '../forms.ts'
import { listReadings } from '../level/store.ts'
import { reserveWorking } from '../reserve/working.ts'
import { storageWorking } from '../sand/storage-working.ts'
import { inputOfSurvey, surveyOfInput, surveyProblem } from '../sand/survey-input.ts'
import { waterStates } from './state.ts'
import { addSurvey, addWeir, levelsOf, listSurveys, listWeirs, type Weir } from './store.ts'

const SHOWN_READINGS = 12

/** A weir, the dated descriptions of its sand, and how its figures are worked out. */
export function addWeirPages({ get, post }: Pages): void {
  get('/weirs/new', 'water.describe', newWeir)
  post('/weirs', 'water.describe', writeWeir)
  get('/weirs/:id', 'water.see', showWeir)
  get('/weirs/:id/storage', 'water.see', showStorage)
  get('/weirs/:id/reserve', 'water.see', showReserve)
  get('/weirs/:id/surveys/new', 'water.describe', newSurvey)
  post('/weirs/:id/surveys', 'water.describe', writeSurvey)
}

async function newWeir(desk: Desk) {
  const number = Math.max(0, ...(await listWeirs(desk.db)).map((weir) => weir.number)) + 1
  return showWeirForm(desk, emptyForm({ number: String(number), fromOn: firstDay(desk) }))
}

async function writeWeir(desk: Desk) {
  const form = readForm(WeirForm, desk.body)
  if (!form.ok) return showWeirForm(desk, form)
  const { number, name, distance } = form.data
  if ((await listWeirs(desk.db)).some((weir) => weir.number === number)) {
    return showWeirForm(desk, withError(form, 'number', 'water.weir.number-taken', { number }))
  }
  const problem = surveyProblem(form.data, form, desk.today)
  if (problem) return showWeirForm(desk, problem)
  return write(
    desk,
    (pen) => addWeir(pen, { number, name, distanceM: distance, ...surveyOfInput(form.data) }),
    (id) => `/water/weirs/${id}`,
  )
}

async function showWeir(desk: Desk<'id'>) {
  const state = await stateOr404(desk)
  const { weir, body, survey } = state
  const surveys = (await listSurveys(desk.db, weir.id)).reverse()
  return page(desk, 'water/weir', {
    title: 'water.weir.heading',
    titleValues: { number: weir.number, name: weir.name },
    state,
    surveys,
    levels: survey && levelsOf(survey),
    lengthM: body?.geometry.kind === 'wedge' ? throwbackM(body.geometry) : null,
    specificYield: survey?.tape ? specificYieldOf(survey.tape.sandType) : null,
    curve: body ? stageStorageCurve({ body }).reverse() : [],
    readings: (await listReadings(desk.db, { weirId: weir.id })).reverse().slice(0, SHOWN_READINGS),
    cautions: ['water.caution-probing', 'water.caution-chamber', 'water.caution-flood'],
  })
}

async function showStorage(desk: Desk<'id'>) {
  return workingPage(desk, storageWorking(await stateOr404(desk), desk))
}

async function showReserve(desk: Desk<'id'>) {
  return workingPage(desk, reserveWorking(await stateOr404(desk), desk))
}

async function newSurvey(desk: Desk<'id'>) {
  const weir = await weirOr404(desk)
  const last = (await listSurveys(desk.db, weir.id)).at(-1)
  const typed = { ...(last ? inputOfSurvey(last) : {}), fromOn: desk.today }
  return showSurvey(desk, weir, emptyForm(typed))
}

async function writeSurvey(desk: Desk<'id'>) {
  const weir = await weirOr404(desk)
  const form = readForm(SurveyForm, desk.body)
  if (!form.ok) return showSurvey(desk, weir, form)
  const problem = surveyProblem(form.data, form, desk.today)
  if (problem) return showSurvey(desk, weir, problem)
  return write(
    desk,
    (pen) => addSurvey(pen, { weirId: weir.id, ...surveyOfInput(form.data) }),
    () => `/water/weirs/${weir.id}`,
  )
}

/** The sand did not change while nobody wrote it down: readings of this season typed in later count from its start. */
function firstDay({ group, today }: Desk): string {
  return [group.seasonStartOn, today].sort()[0]!
}

async function weirOr404(desk: Desk<'id'>): Promise<Weir> {
  const { id } = desk.params
  return found((await listWeirs(desk.db)).find((weir) => weir.id === id))
}

async function stateOr404(desk: Desk<'id'>) {
  const { id } = desk.params
  return found((await waterStates(desk.db, { on: desk.today })).find(({ weir }) => weir.id === id))
}

function showWeirForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'water.weir.title',
    form: WeirForm,
    filled,
    action: '/water/weirs',
    intro: ['water.weir.intro'],
    cautions: ['water.caution-probing', 'water.caution-chamber', 'water.caution-flood'],
    back: '/water',
  })
}

function showSurvey(desk: Desk, weir: Weir, filled: Filled) {
  return formPage(desk, {
    title: 'water.weir.survey-title',
    titleValues: { number: weir.number },
    form: SurveyForm,
    filled,
    action: `/water/weirs/${weir.id}/surveys`,
    intro: ['water.weir.survey-intro'],
    cautions: ['water.caution-probing', 'water.caution-flood'],
    back: `/water/weirs/${weir.id}`,
  })
}
