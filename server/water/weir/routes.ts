import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { specificYieldOf, stageStorageCurve, throwbackM } from '../../../domain/water/index.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { SurveyForm, WeirForm } from '../forms.ts'
import { listReadings } from '../level/store.ts'
import { reserveWorking } from '../reserve/working.ts'
import { storageWorking } from '../sand/storage-working.ts'
import { inputOfSurvey, surveyOfInput, surveyProblem } from '../sand/survey-input.ts'
import { waterStates } from './state.ts'
import { addSurvey, addWeir, levelsOf, listSurveys, listWeirs, type Weir } from './store.ts'

type WithId = { Params: { id: string } }
const SHOWN_READINGS = 12

/** A weir, the dated descriptions of its sand, and how its figures are worked out. */
export function addWeirRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/weirs/new', { preHandler: may('water.describe') }, async (request, reply) => {
    const number = Math.max(0, ...(await listWeirs(db)).map((weir) => weir.number)) + 1
    return showWeir(request, reply, emptyForm({ number: String(number), fromOn: await firstDay(request) }))
  })

  app.post('/weirs', { preHandler: may('water.describe') }, async (request, reply) => {
    const form = readForm(WeirForm, request.body)
    if (!form.ok) return showWeir(request, reply, form)
    const { number, name, distance } = form.data
    if ((await listWeirs(db)).some((weir) => weir.number === number)) {
      return showWeir(request, reply, withError(form, 'number', 'water.weir.number-taken', { number }))
    }
    const problem = surveyProblem(form.data, form, request.visit.today)
    if (problem) return showWeir(request, reply, problem)
    return write(
      { db, request, reply, at: now() },
      (pen) => addWeir(pen, { number, name, distanceM: distance, ...surveyOfInput(form.data) }),
      (id) => `/water/weirs/${id}`,
    )
  })

  app.get<WithId>('/weirs/:id', { preHandler: may('water.see') }, async (request, reply) => {
    const state = await stateOr404(request)
    const { weir, body, survey } = state
    const surveys = (await listSurveys(db, weir.id)).reverse()
    return page({ request, reply }, 'water/weir', {
      title: 'water.weir.heading',
      titleValues: { number: weir.number, name: weir.name },
      state,
      surveys,
      levels: survey && levelsOf(survey),
      lengthM: body?.geometry.kind === 'wedge' ? throwbackM(body.geometry) : null,
      specificYield: survey?.tape ? specificYieldOf(survey.tape.sandType) : null,
      curve: body ? stageStorageCurve({ body }).reverse() : [],
      readings: (await listReadings(db, { weirId: weir.id })).reverse().slice(0, SHOWN_READINGS),
      cautions: ['water.caution-probing', 'water.caution-chamber', 'water.caution-flood'],
    })
  })

  app.get<WithId>('/weirs/:id/storage', { preHandler: may('water.see') }, async (request, reply) =>
    workingPage({ request, reply }, storageWorking(await stateOr404(request), request.visit)),
  )

  app.get<WithId>('/weirs/:id/reserve', { preHandler: may('water.see') }, async (request, reply) =>
    workingPage({ request, reply }, reserveWorking(await stateOr404(request), request.visit)),
  )

  app.get<WithId>('/weirs/:id/surveys/new', { preHandler: may('water.describe') }, async (request, reply) => {
    const weir = await weirOr404(request)
    const last = (await listSurveys(db, weir.id)).at(-1)
    const typed = { ...(last ? inputOfSurvey(last) : {}), fromOn: request.visit.today }
    return showSurvey(request, reply, weir, emptyForm(typed))
  })

  app.post<WithId>('/weirs/:id/surveys', { preHandler: may('water.describe') }, async (request, reply) => {
    const weir = await weirOr404(request)
    const form = readForm(SurveyForm, request.body)
    if (!form.ok) return showSurvey(request, reply, weir, form)
    const problem = surveyProblem(form.data, form, request.visit.today)
    if (problem) return showSurvey(request, reply, weir, problem)
    return write(
      { db, request, reply, at: now() },
      (pen) => addSurvey(pen, { weirId: weir.id, ...surveyOfInput(form.data) }),
      () => `/water/weirs/${weir.id}`,
    )
  })

  /** The sand did not change while nobody wrote it down: readings of this season typed in later count from its start. */
  async function firstDay(request: FastifyRequest): Promise<string> {
    const { today } = request.visit
    const seasonStartOn = (await currentGroup(db))?.seasonStartOn ?? today
    return [seasonStartOn, today].sort()[0]!
  }

  async function weirOr404(request: FastifyRequest): Promise<Weir> {
    const { id } = request.params as { id: string }
    return found((await listWeirs(db)).find((weir) => weir.id === id))
  }

  async function stateOr404(request: FastifyRequest) {
    const { id } = request.params as { id: string }
    return found((await waterStates(db, { on: request.visit.today })).find(({ weir }) => weir.id === id))
  }
}

function showWeir(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'water.weir.title',
      form: WeirForm,
      filled,
      action: '/water/weirs',
      intro: ['water.weir.intro'],
      cautions: ['water.caution-probing', 'water.caution-chamber', 'water.caution-flood'],
      back: '/water',
    },
  )
}

function showSurvey(request: FastifyRequest, reply: FastifyReply, weir: Weir, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'water.weir.survey-title',
      titleValues: { number: weir.number },
      form: SurveyForm,
      filled,
      action: `/water/weirs/${weir.id}/surveys`,
      intro: ['water.weir.survey-intro'],
      cautions: ['water.caution-probing', 'water.caution-flood'],
      back: `/water/weirs/${weir.id}`,
    },
  )
}
