import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays } from '../../../domain/calendar.ts'
import { PLOT_CLASSES } from '../../../domain/rotation/rule/types.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { type FormPage, formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { listWeirs } from '../weir/store.ts'
import { DeclarationForm, inputOfStage, LiftForm, StageCorrectionForm, StageForm, stageOfInput } from './forms.ts'
import { droughtState } from './state.ts'
import { addStage, declareStage, liftDeclaration, listDeclarations, listStages } from './store.ts'

type WithId = { Params: { id: string } }
const MOST_DAYS_AHEAD = 31

/** Drought stages in the group's own words: proposed by readings, declared and lifted by people. */
export function addDroughtRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/drought-stages', { preHandler: may('water.see') }, async (request, reply) => {
    const state = await droughtState(db, request.visit.today)
    const weirs = new Map((await listWeirs(db)).map((weir) => [weir.id, weir]))
    return page({ request, reply }, 'water/drought/page', {
      title: 'watch.drought.title',
      ...state,
      weirs,
      classes: PLOT_CLASSES,
    })
  })

  app.get('/drought-stages/new', { preHandler: may('rule.set') }, async (request, reply) => {
    const severity = Math.max(0, ...(await listStages(db)).map((stage) => stage.severity)) + 1
    const caps = Object.fromEntries(PLOT_CLASSES.map((each) => [each, '100']))
    return show(request, reply, stagePage(emptyForm({ severity: String(severity), ...caps })))
  })

  app.post('/drought-stages', { preHandler: may('rule.set') }, async (request, reply) => {
    const form = readForm(StageForm, request.body)
    if (!form.ok) return show(request, reply, stagePage(form))
    const input = stageOfInput(form.data, form, await listStages(db))
    if ('problem' in input) return show(request, reply, stagePage(input.problem))
    return write(
      { db, request, reply, at: now() },
      (pen) => addStage(pen, input.stage),
      () => '/water/drought-stages',
    )
  })

  app.get<WithId>('/drought-stages/:id/corrections/new', { preHandler: may('rule.set') }, async (request, reply) => {
    const stage = await stageOr404(request)
    return show(request, reply, changePage(stage.id, emptyForm(inputOfStage(stage))))
  })

  app.post<WithId>('/drought-stages/:id/corrections', { preHandler: may('rule.set') }, async (request, reply) => {
    const { id } = await stageOr404(request)
    const form = readForm(StageCorrectionForm, request.body)
    if (!form.ok) return show(request, reply, changePage(id, form))
    const others = (await listStages(db)).filter((stage) => stage.id !== id)
    const input = stageOfInput(form.data, form, others)
    if ('problem' in input) return show(request, reply, changePage(id, input.problem))
    const { reason } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => addStage(pen, input.stage, { correctsId: id, reason }),
      () => '/water/drought-stages',
    )
  })

  app.get<{ Querystring: { stage?: string } }>(
    '/drought-declarations/new',
    { preHandler: may('rule.set') },
    async (request, reply) => {
      const typed = { stageId: request.query.stage ?? '', fromOn: request.visit.today }
      return showDeclaration(request, reply, emptyForm(typed))
    },
  )

  app.post('/drought-declarations', { preHandler: may('rule.set') }, async (request, reply) => {
    const form = readForm(DeclarationForm, request.body)
    if (!form.ok) return showDeclaration(request, reply, form)
    const { stageId, fromOn, reason } = form.data
    const { today } = request.visit
    const { stages, proposed } = await droughtState(db, today)
    const stage = stages.find((one) => one.id === stageId)
    if (!stage) return showDeclaration(request, reply, withError(form, 'stageId', 'error.choose'))
    if (fromOn > addDays(today, MOST_DAYS_AHEAD))
      return showDeclaration(
        request,
        reply,
        withError(form, 'fromOn', 'watch.declare.too-far', { days: MOST_DAYS_AHEAD }),
      )
    const wasProposed = (proposed?.severity ?? 0) >= stage.severity
    return write(
      { db, request, reply, at: now() },
      (pen) => declareStage(pen, { stageId, fromOn, reason, wasProposed }),
      () => '/water/drought-stages',
    )
  })

  app.get<WithId>('/drought-declarations/:id/lifts/new', { preHandler: may('rule.set') }, async (request, reply) => {
    const { id } = await liftable(request)
    return show(request, reply, liftPage(id, emptyForm({ liftedOn: request.visit.today })))
  })

  app.post<WithId>('/drought-declarations/:id/lifts', { preHandler: may('rule.set') }, async (request, reply) => {
    const { id, fromOn } = await liftable(request)
    const form = readForm(LiftForm, request.body)
    if (!form.ok) return show(request, reply, liftPage(id, form))
    const { liftedOn, reason } = form.data
    if (liftedOn < fromOn)
      return show(request, reply, liftPage(id, withError(form, 'liftedOn', 'watch.lift.too-early')))
    return write(
      { db, request, reply, at: now() },
      (pen) => liftDeclaration(pen, { declarationId: id, liftedOn, reason }),
      () => '/water/drought-stages',
    )
  })

  async function stageOr404(request: FastifyRequest) {
    const { id } = request.params as { id: string }
    return found((await listStages(db)).find((stage) => stage.id === id))
  }

  async function liftable(request: FastifyRequest) {
    const { id } = request.params as { id: string }
    const declaration = found((await listDeclarations(db)).find((one) => one.id === id))
    if (declaration.lift) throw new PageError(409, 'error.page-409')
    return declaration
  }

  async function show(request: FastifyRequest, reply: FastifyReply, shown: FormPage) {
    const { t } = request.visit.locale
    const weirId = (await listWeirs(db)).map((weir) => ({
      value: weir.id,
      label: t('water.weir.heading', { ...weir }),
    }))
    return formPage({ request, reply }, { ...shown, options: { weirId }, back: '/water/drought-stages' })
  }

  async function showDeclaration(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const stageId = (await listStages(db)).map((stage) => ({
      value: stage.id,
      label: `${stage.severity} ${stage.name}`,
    }))
    return formPage(
      { request, reply },
      {
        title: 'watch.declare.title',
        form: DeclarationForm,
        filled,
        options: { stageId },
        action: '/water/drought-declarations',
        submit: 'watch.declare.submit',
        intro: ['watch.declare.intro'],
        back: '/water/drought-stages',
      },
    )
  }
}

function stagePage(filled: Filled): FormPage {
  const intro = ['watch.stage.intro', 'watch.stage.intro-caps']
  return { title: 'watch.stage.title', form: StageForm, filled, action: '/water/drought-stages', intro }
}

function changePage(id: string, filled: Filled): FormPage {
  const action = `/water/drought-stages/${id}/corrections`
  return { title: 'watch.stage.change', form: StageCorrectionForm, filled, action, intro: ['watch.stage.change-intro'] }
}

function liftPage(id: string, filled: Filled): FormPage {
  const action = `/water/drought-declarations/${id}/lifts`
  return {
    title: 'watch.lift.title',
    form: LiftForm,
    filled,
    action,
    submit: 'watch.lift.submit',
    intro: ['watch.lift.intro'],
  }
}
