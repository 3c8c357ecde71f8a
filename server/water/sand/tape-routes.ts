import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { weirOr404 } from '../weir/found.ts'
import { listWeirs, type Weir } from '../weir/store.ts'
import { addSurvey, addWeir, listSurveys } from './description-store.ts'
import { inputOfSurvey, surveyOfInput, surveyProblem } from './survey-input.ts'
import { firstDay, SurveyForm, WeirForm } from './tape-forms.ts'

/** A new weir, and its sand described by the tape alone. */
export function addTapePages({ get, post }: Pages): void {
  get('/water/weirs/new', 'water.describe', newWeir)
  post('/water/weirs/new', 'water.describe', writeWeir)
  get('/water/weirs/:id/sand', 'water.describe', newSurvey)
  post('/water/weirs/:id/sand', 'water.describe', writeSurvey)
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

function showWeirForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'water.weir.title',
    form: WeirForm,
    filled,
    action: '/water/weirs/new',
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
    action: `/water/weirs/${weir.id}/sand`,
    intro: ['water.weir.survey-intro'],
    cautions: ['water.caution-probing', 'water.caution-flood'],
    back: `/water/weirs/${weir.id}`,
  })
}
