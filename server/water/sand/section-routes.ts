import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { SEDIMENT_YIELDS, saturatedAreaM2, saturatedVolumeM3 } from '../../../domain/water/index.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { waterStates } from '../weir/state.ts'
import { listSurveys, listWeirs, type Weir } from '../weir/store.ts'
import { bodyOf, levelsOf } from './description.ts'
import { MOST_SECTIONS, roomFor, sectionForm } from './section-forms.ts'
import { inputOfDescription, probedSurveyOfInput } from './section-input.ts'
import { longPicture, sectionPictures } from './section-picture.ts'
import { addProbedSurvey } from './survey-store.ts'

type WithId = { Params: { id: string }; Querystring: { room?: string } }
type OfSurvey = { Params: { id: string; surveyId: string } }

/** A weir described by lines of probe holes, and its picture. */
export function addSectionRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<WithId>('/weirs/:id/sections/new', { preHandler: may('water.describe') }, async (request, reply) => {
    const weir = await weirOr404(request)
    const last = (await listSurveys(db, weir.id)).at(-1)
    const typed = { ...(last ? inputOfDescription(last) : {}), fromOn: request.visit.today }
    const room = Math.max(Number(request.query.room ?? 0), (last?.probed?.sections.length ?? 0) + 1)
    return show(request, reply, weir, emptyForm(typed), room)
  })

  app.post<WithId>('/weirs/:id/sections', { preHandler: may('water.describe') }, async (request, reply) => {
    const weir = await weirOr404(request)
    const room = roomSent(request.body)
    const form = readForm(sectionForm(room), request.body)
    if (!form.ok) return show(request, reply, weir, form, room)
    const read = probedSurveyOfInput(form.data, form, request.visit.today)
    if ('problem' in read) return show(request, reply, weir, read.problem, room)
    return write(
      { db, request, reply, at: now() },
      (pen) => addProbedSurvey(pen, { weirId: weir.id, ...read.survey }),
      (id) => `/water/weirs/${weir.id}/surveys/${id}`,
    )
  })

  app.get<OfSurvey>('/weirs/:id/surveys/:surveyId', { preHandler: may('water.see') }, async (request, reply) => {
    const weir = await weirOr404(request)
    const surveys = await listSurveys(db, weir.id)
    const survey = found(surveys.find((one) => one.entryId === request.params.surveyId && one.change === 'survey'))
    const state = (await waterStates(db, { on: request.visit.today })).find((one) => one.weir.id === weir.id)
    const isNow = state?.survey?.surveyId === survey.entryId
    const waterLevelM = isNow && state.storage.cannotSay === null ? state.storage.waterLevelM : null
    const body = bodyOf(survey)
    const sections = survey.probed?.sections ?? []
    return page({ request, reply }, 'water/sand/section-survey', {
      title: 'sand.survey.heading',
      titleValues: { number: weir.number, date: request.visit.format.date(survey.fromOn) },
      weir,
      survey,
      levels: levelsOf(survey),
      isNow,
      waterLevelM,
      readOn: isNow ? (state.reading?.readOn ?? null) : null,
      pictures: sectionPictures(body, waterLevelM),
      long: longPicture(body, waterLevelM),
      areasM2: sections.map((section) => saturatedAreaM2(section, survey.crestLevelM)),
      sandM3: saturatedVolumeM3({ body, waterLevelM: survey.crestLevelM }),
      cautions: ['water.caution-probing', 'water.caution-flood'],
    })
  })

  async function weirOr404(request: FastifyRequest): Promise<Weir> {
    const { id } = request.params as { id: string }
    return found((await listWeirs(db)).find((weir) => weir.id === id))
  }
}

/** A form that came with room for many sections is read and shown again with as much. */
function roomSent(body: unknown): number {
  const names = Object.keys((body ?? {}) as object)
  const numbers = names.flatMap((name) => /^section(\d+)Lines$/.exec(name)?.slice(1).map(Number) ?? [])
  return Math.max(0, ...numbers)
}

function show(request: FastifyRequest, reply: FastifyReply, weir: Weir, filled: Filled, room: number) {
  const { t } = request.visit.locale
  const kinds = SEDIMENT_YIELDS.map(({ sediment }) => ({
    value: sediment,
    label: t(`water.weir.sandType.${sediment}`),
  }))
  if (Object.keys(filled.errors).length > 0) reply.code(422)
  return page({ request, reply }, 'water/sand/section-form', {
    title: 'sand.sections.title',
    titleValues: { number: weir.number },
    form: sectionForm(room),
    filled,
    options: { layer1Sand: kinds, layer2Sand: kinds, layer3Sand: kinds },
    action: `/water/weirs/${weir.id}/sections`,
    submit: 'layout.save',
    moreRoom: roomFor(room) < MOST_SECTIONS ? roomFor(roomFor(room) + 4) : null,
    cautions: ['water.caution-probing', 'water.caution-flood'],
    weir,
  })
}
