import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { dueInspections, lastInspections, WEIR_PARTS } from '../../../domain/water/index.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { listPersons } from '../../people/person/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { StrikeForm } from '../outlook/forms.ts'
import { listWeirs } from '../weir/store.ts'
import { InspectionForm } from './forms.ts'
import { addInspection, type Inspection, listInspections, strikeInspection } from './store.ts'

type WithId = { Params: { id: string } }
const CAUTIONS = ['watch.caution-wall', 'water.caution-chamber', 'water.caution-flood', 'watch.caution-hole']

/** The inspection book: what was found on each part of a weir, what to do, when next. */
export function addInspectionRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/inspections', { preHandler: may('water.see') }, async (request, reply) => {
    const inspections = await listInspections(db)
    const order = (one: Inspection) => WEIR_PARTS.indexOf(one.part)
    const last = lastInspections(inspections).sort((a, b) => a.weirNumber - b.weirNumber || order(a) - order(b))
    const unseen = (await listWeirs(db)).flatMap((weir) => {
      const parts = WEIR_PARTS.filter((part) => !last.some((one) => one.weirId === weir.id && one.part === part))
      return parts.length > 0 ? [{ weir, parts }] : []
    })
    return page({ request, reply }, 'water/inspection/list', {
      title: 'watch.inspection.book',
      last,
      unseen,
      inspections,
      ...dueInspections({ inspections, today: request.visit.today }),
      cautions: CAUTIONS,
    })
  })

  app.get<{ Querystring: { weirId?: string; part?: string } }>(
    '/inspections/new',
    { preHandler: may('level.record') },
    async (request, reply) => {
      const { weirId = '', part = '' } = request.query
      const typed = { weirId, part, seenOn: request.visit.today, inspectorId: request.person?.id ?? '' }
      return show(request, reply, emptyForm(typed))
    },
  )

  app.post('/inspections', { preHandler: may('level.record') }, async (request, reply) => {
    const form = readForm(InspectionForm, request.body)
    if (!form.ok) return show(request, reply, form)
    const problem = await problemOf(form.data, form, request.visit.today)
    if (problem) return show(request, reply, problem)
    return write(
      { db, request, reply, at: now() },
      (pen) => addInspection(pen, form.data),
      (id) => `/water/inspections/${id}`,
    )
  })

  app.get<WithId>('/inspections/:id', { preHandler: may('water.see') }, async (request, reply) =>
    showOne(request, reply, emptyForm()),
  )

  app.post<WithId>('/inspections/:id/strikes', { preHandler: may('level.record') }, async (request, reply) => {
    const form = readForm(StrikeForm, request.body)
    if (!form.ok) return showOne(request, reply, form)
    const { id } = await inspectionOr404(request)
    const { reason } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => strikeInspection(pen, { id, reason }),
      () => '/water/inspections',
    )
  })

  interface Typed {
    weirId: string
    seenOn: string
    nextOn: string | null
    inspectorId: string | null
  }

  async function problemOf({ weirId, seenOn, nextOn, inspectorId }: Typed, form: Filled, today: string) {
    if (!(await listWeirs(db)).some((weir) => weir.id === weirId)) return withError(form, 'weirId', 'error.choose')
    if (seenOn > today) return withError(form, 'seenOn', 'watch.inspection.future')
    if (nextOn !== null && nextOn <= seenOn) return withError(form, 'nextOn', 'watch.inspection.next-too-early')
    const persons = await listPersons(db)
    const isUnknown = inspectorId !== null && !persons.some((person) => person.id === inspectorId)
    return isUnknown ? withError(form, 'inspectorId', 'error.choose') : null
  }

  async function inspectionOr404(request: FastifyRequest): Promise<Inspection> {
    const { id } = request.params as { id: string }
    return found((await listInspections(db)).find((one) => one.id === id))
  }

  async function showOne(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const inspection = await inspectionOr404(request)
    if (Object.keys(filled.errors).length > 0) reply.code(422)
    return page({ request, reply }, 'water/inspection/page', {
      title: 'watch.inspection.heading',
      titleValues: {
        part: request.visit.locale.t(`watch.inspection.part.${inspection.part}`),
        number: inspection.weirNumber,
        date: request.visit.format.date(inspection.seenOn),
      },
      inspection,
      form: StrikeForm,
      filled,
      cautions: CAUTIONS,
    })
  }

  async function show(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { t } = request.visit.locale
    const weirs = (await listWeirs(db)).map((weir) => ({ value: weir.id, label: t('water.weir.heading', { ...weir }) }))
    const persons = (await listPersons(db)).map((person) => ({ value: person.id, label: person.name }))
    return formPage(
      { request, reply },
      {
        title: 'watch.inspection.title',
        form: InspectionForm,
        filled,
        options: { weirId: weirs, inspectorId: persons },
        action: '/water/inspections',
        intro: ['watch.inspection.intro', 'watch.inspection.when'],
        cautions: CAUTIONS,
        back: '/water/inspections',
      },
    )
  }
}
