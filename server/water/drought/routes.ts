import { addDays } from '../../../domain/calendar.ts'
import { PLOT_CLASSES } from '../../../domain/people/plot-class.ts'
import { write } from '../../book/pen.ts'
import { minuteOptions } from '../../people/decision/state.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { type FormPage, formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { listWeirs } from '../weir/store.ts'
import { DeclarationForm, inputOfStage, LiftForm, StageCorrectionForm, StageForm, stageOfInput } from './forms.ts'
import { droughtState } from './state.ts'
import {
  addStage,
  changesOfStages,
  declareStage,
  liftDeclaration,
  listDeclarations,
  listStages,
  type Stage,
  waitingDeclarations,
} from './store.ts'

const MOST_DAYS_AHEAD = 31

/** Drought stages in the group's own words: proposed by readings, declared and lifted by people. */
export function addDroughtPages({ get, post }: Pages): void {
  get('/water/dry', 'water.see', showStages)
  get('/water/dry/stage', 'rule.set', newStage)
  post('/water/dry/stage', 'rule.set', writeStage)
  get('/water/lines/stage/:id/correct', 'rule.set', newStageCorrection)
  post('/water/lines/stage/:id/correct', 'rule.set', writeStageCorrection)
  get('/water/dry/declare', 'rule.set', newDeclaration)
  post('/water/dry/declare', 'rule.set', writeDeclaration)
  get('/water/dry/declare/:id', 'rule.set', newLift)
  post('/water/dry/declare/:id', 'rule.set', writeLift)
}

async function showStages(desk: Desk) {
  const state = await droughtState(desk.db, desk.today)
  const waiting = []
  for (const one of await waitingDeclarations(desk.db)) waiting.push({ ...one, names: await namesShown(desk, one.id) })
  const asked = state.inForce?.liftAsked ?? null
  const weirs = new Map((await listWeirs(desk.db)).map((weir) => [weir.id, weir]))
  return page(desk, 'water/drought/page', {
    title: 'stream.drought.title',
    ...state,
    looksAtDays: state.stages.some(({ belowCoverDays }) => belowCoverDays !== null),
    waiting,
    liftAsked: asked && { ...asked, names: await namesShown(desk, asked.id) },
    weirs,
    changes: await changesOfStages(desk.db),
    cutOf: (stage: Stage) => PLOT_CLASSES.filter((each) => (stage.capByClass[each] ?? 1) < 1),
  })
}

async function newStage(desk: Desk) {
  const severity = Math.max(0, ...(await listStages(desk.db)).map((stage) => stage.severity)) + 1
  const caps = Object.fromEntries(PLOT_CLASSES.map((each) => [each, '100']))
  return show(desk, stagePage(emptyForm({ severity: String(severity), ...caps })))
}

async function writeStage(desk: Desk) {
  const form = readForm(StageForm, desk.body)
  if (!form.ok) return show(desk, stagePage(form))
  const input = stageOfInput(form.data, form, await listStages(desk.db))
  if ('problem' in input) return show(desk, stagePage(input.problem))
  return write(
    desk,
    (pen) => addStage(pen, input.stage),
    () => '/water/dry',
  )
}

async function newStageCorrection(desk: Desk<'id'>) {
  const stage = await stageOr404(desk)
  return show(desk, changePage(stage.id, emptyForm(inputOfStage(stage))))
}

async function writeStageCorrection(desk: Desk<'id'>) {
  const { id } = await stageOr404(desk)
  const form = readForm(StageCorrectionForm, desk.body)
  if (!form.ok) return show(desk, changePage(id, form))
  const others = (await listStages(desk.db)).filter((stage) => stage.id !== id)
  const input = stageOfInput(form.data, form, others)
  if ('problem' in input) return show(desk, changePage(id, input.problem))
  const { reason } = form.data
  return write(
    desk,
    (pen) => addStage(pen, input.stage, { correctsId: id, reason }),
    () => '/water/dry',
  )
}

async function newDeclaration(desk: Desk) {
  const typed = { stageId: desk.query.stage ?? '', fromOn: desk.today }
  return showDeclaration(desk, emptyForm(typed))
}

async function writeDeclaration(desk: Desk) {
  const form = readForm(DeclarationForm, desk.body)
  if (!form.ok) return showDeclaration(desk, form)
  const { stageId, fromOn, reason } = form.data
  const { today } = desk
  const { stages, proposed } = await droughtState(desk.db, today)
  const stage = stages.find((one) => one.id === stageId)
  if (!stage) return showDeclaration(desk, withError(form, 'stageId', 'error.choose'))
  if (fromOn > addDays(today, MOST_DAYS_AHEAD))
    return showDeclaration(desk, withError(form, 'fromOn', 'stream.declare.too-far', { days: MOST_DAYS_AHEAD }))
  const wasProposed = (proposed?.severity ?? 0) >= stage.severity
  return write(
    desk,
    (pen) => declareStage(pen, { stageId, fromOn, reason, wasProposed }, form.data.minute),
    () => '/water/dry',
  )
}

async function newLift(desk: Desk<'id'>) {
  const { id } = await liftable(desk)
  return show(desk, liftPage(id, emptyForm({ liftedOn: desk.today })))
}

async function writeLift(desk: Desk<'id'>) {
  const { id, fromOn } = await liftable(desk)
  const form = readForm(LiftForm, desk.body)
  if (!form.ok) return show(desk, liftPage(id, form))
  const { liftedOn, reason } = form.data
  if (liftedOn < fromOn) return show(desk, liftPage(id, withError(form, 'liftedOn', 'stream.lift.too-early')))
  return write(
    desk,
    (pen) => liftDeclaration(pen, { declarationId: id, liftedOn, reason }),
    () => '/water/dry',
  )
}

async function stageOr404(desk: Desk<'id'>) {
  const { id } = desk.params
  return found((await listStages(desk.db)).find((stage) => stage.id === id))
}

async function liftable(desk: Desk<'id'>) {
  const { id } = desk.params
  const declaration = found((await listDeclarations(desk.db)).find((one) => one.id === id))
  if (declaration.lift || declaration.liftAsked) throw new PageError(409, 'error.page-409')
  return declaration
}

async function show(desk: Desk, shown: FormPage) {
  const { t } = desk
  const weirId = (await listWeirs(desk.db)).map((weir) => ({
    value: weir.id,
    label: t('water.weir.heading', { ...weir }),
  }))
  return formPage(desk, { ...shown, options: { weirId }, back: '/water/dry' })
}

async function showDeclaration(desk: Desk, filled: Filled) {
  const stageId = (await listStages(desk.db)).map((stage) => ({
    value: stage.id,
    label: `${stage.severity} ${stage.name}`,
  }))
  return formPage(desk, {
    title: 'stream.declare.title',
    form: DeclarationForm,
    filled,
    options: { stageId, minute: await minuteOptions(desk) },
    action: '/water/dry/declare',
    submit: 'stream.declare.submit',
    intro: ['stream.declare.intro'],
    back: '/water/dry',
  })
}

function stagePage(filled: Filled): FormPage {
  const intro = ['stream.stage.intro', 'stream.stage.intro-caps']
  return { title: 'stream.stage.title', form: StageForm, filled, action: '/water/dry/stage', intro }
}

function changePage(id: string, filled: Filled): FormPage {
  const action = `/water/lines/stage/${id}/correct`
  return {
    title: 'stream.stage.change',
    form: StageCorrectionForm,
    filled,
    action,
    intro: ['stream.stage.change-intro'],
  }
}

function liftPage(id: string, filled: Filled): FormPage {
  const action = `/water/dry/declare/${id}`
  return {
    title: 'stream.lift.title',
    form: LiftForm,
    filled,
    action,
    submit: 'stream.lift.submit',
    intro: ['stream.lift.intro'],
  }
}
