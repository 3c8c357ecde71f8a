import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { StrikeForm } from '../outlook/forms.ts'
import { BucketForm, FloatForm } from './forms.ts'
import { bucketOfInput, floatOfInput, type GaugingInput } from './input.ts'
import { flowOf } from './state.ts'
import { addGauging, type Gauging, listGaugings, strikeGauging } from './store.ts'
import { gaugingWorking } from './working.ts'

type WithId = { Params: { id: string } }
const CAUTIONS = ['water.caution-flood']

/** Measuring what flows in the stream, by a float or by a bucket. */
export function addGaugingRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/float-gaugings/new', { preHandler: may('level.record') }, async (request, reply) =>
    showFloat(request, reply, emptyForm({ onDate: request.visit.today })),
  )

  app.post('/float-gaugings', { preHandler: may('level.record') }, async (request, reply) => {
    const form = readForm(FloatForm, request.body)
    if (!form.ok) return showFloat(request, reply, form)
    return take(request, reply, floatOfInput(form.data, form, request.visit), showFloat)
  })

  app.get('/bucket-gaugings/new', { preHandler: may('level.record') }, async (request, reply) =>
    showBucket(request, reply, emptyForm({ onDate: request.visit.today })),
  )

  app.post('/bucket-gaugings', { preHandler: may('level.record') }, async (request, reply) => {
    const form = readForm(BucketForm, request.body)
    if (!form.ok) return showBucket(request, reply, form)
    return take(request, reply, bucketOfInput(form.data, form, request.visit), showBucket)
  })

  app.get<WithId>('/gaugings/:id', { preHandler: may('water.see') }, async (request, reply) =>
    showOne(request, reply, emptyForm()),
  )

  app.post<WithId>('/gaugings/:id/strikes', { preHandler: may('level.record') }, async (request, reply) => {
    const form = readForm(StrikeForm, request.body)
    if (!form.ok) return showOne(request, reply, form)
    const { id } = await gaugingOr404(request)
    const { reason } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => strikeGauging(pen, { id, reason }),
      () => '/water/stream-share',
    )
  })

  async function take(request: FastifyRequest, reply: FastifyReply, input: GaugingInput, show: typeof showFloat) {
    if ('problem' in input) return show(request, reply, input.problem)
    return write(
      { db, request, reply, at: now() },
      (pen) => addGauging(pen, input.gauging),
      (id) => `/water/gaugings/${id}`,
    )
  }

  async function gaugingOr404(request: FastifyRequest): Promise<Gauging> {
    const { id } = request.params as { id: string }
    return found((await listGaugings(db)).find((one) => one.id === id))
  }

  async function showOne(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const gauging = await gaugingOr404(request)
    if (Object.keys(filled.errors).length > 0) reply.code(422)
    return page({ request, reply }, 'water/stream/gauging', {
      title: 'watch.gauging.heading',
      titleValues: { date: request.visit.format.date(gauging.onDate) },
      gauging,
      working: gaugingWorking(gauging, flowOf(gauging), request.visit),
      form: StrikeForm,
      filled,
    })
  }
}

async function showFloat(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'watch.gauging.float',
      form: FloatForm,
      filled,
      action: '/water/float-gaugings',
      intro: ['watch.gauging.intro-float'],
      cautions: CAUTIONS,
      back: '/water/stream-share',
    },
  )
}

async function showBucket(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'watch.gauging.bucket',
      form: BucketForm,
      filled,
      action: '/water/bucket-gaugings',
      intro: ['watch.gauging.intro-bucket'],
      cautions: CAUTIONS,
      back: '/water/stream-share',
    },
  )
}
