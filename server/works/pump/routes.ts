import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { FlowTestForm, OutletForm, PumpForm } from '../../people/forms.ts'
import { listWeirs } from '../../water/weir/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { addFlowTest, addOutlet, addPump, flowTestsOf, listOutlets, listPumps } from './store.ts'

type WithId = { Params: { id: string } }

/** Pumps on weirs, outlets on pumps, and the bucket-and-watch tests of the outlets. */
export function addPumpAndOutletRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/pumps/new', { preHandler: may('works.describe') }, async (request, reply) => {
    const number = String((await listPumps(db, request.visit.today)).length + 1)
    const usual = { firstHour: '7', lastHour: '17', sunThreshold: '250', meterDigits: '5', outletsAtOnce: '1' }
    return showPump(request, reply, emptyForm({ number, ...usual, fromOn: request.visit.today }))
  })

  app.post('/pumps', { preHandler: may('works.describe') }, async (request, reply) => {
    const form = readForm(PumpForm, request.body)
    if (!form.ok) return showPump(request, reply, form)
    const { data } = form
    if ((await listPumps(db, request.visit.today)).some((pump) => pump.number === data.number)) {
      return showPump(request, reply, withError(form, 'number', 'people.number-taken', { number: data.number }))
    }
    if (data.lastHour <= data.firstHour) {
      return showPump(request, reply, withError(form, 'lastHour', 'people.pump.hours-backwards'))
    }
    if (!(await listWeirs(db)).some((weir) => weir.id === data.weirId)) {
      return showPump(request, reply, withError(form, 'weirId', 'error.choose'))
    }
    const { usualFlow, sunThreshold, usualDay, ...rest } = data
    const pump = { ...rest, usualFlowM3PerH: usualFlow, sunThresholdWPerM2: sunThreshold, usualDayM3: usualDay }
    return write(
      { db, request, reply, at: now() },
      (pen) => addPump(pen, pump),
      () => '/people',
    )
  })

  app.get('/outlets/new', { preHandler: may('works.describe') }, async (request, reply) => {
    const number = String((await listOutlets(db, request.visit.today)).length + 1)
    return showOutlet(request, reply, emptyForm({ number, testedOn: request.visit.today }))
  })

  app.post('/outlets', { preHandler: may('works.describe') }, async (request, reply) => {
    const form = readForm(OutletForm, request.body)
    if (!form.ok) return showOutlet(request, reply, form)
    const { number, name, pumpId, flow, testedOn } = form.data
    if ((await listOutlets(db, request.visit.today)).some((outlet) => outlet.number === number)) {
      return showOutlet(request, reply, withError(form, 'number', 'people.number-taken', { number }))
    }
    if (!(await listPumps(db, request.visit.today)).some((pump) => pump.id === pumpId)) {
      return showOutlet(request, reply, withError(form, 'pumpId', 'error.choose'))
    }
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        const outletId = await addOutlet(pen, { number, name, pumpId })
        await addFlowTest(pen, { outletId, testedOn, flowM3PerH: flow })
      },
      (id) => `/works/outlets/${id}`,
    )
  })

  app.get<WithId>('/outlets/:id', { preHandler: may('people.see') }, async (request, reply) => {
    const outlet = await outletOr404(request)
    return page({ request, reply }, 'works/outlet', {
      title: 'people.outlet.heading',
      titleValues: { number: outlet.number, name: outlet.name },
      outlet,
      tests: await flowTestsOf(db, outlet.id),
    })
  })

  app.get<WithId>('/outlets/:id/flow-tests/new', { preHandler: may('works.describe') }, async (request, reply) =>
    showFlowTest(request, reply, await outletOr404(request), emptyForm({ testedOn: request.visit.today })),
  )

  app.post<WithId>('/outlets/:id/flow-tests', { preHandler: may('works.describe') }, async (request, reply) => {
    const outlet = await outletOr404(request)
    const form = readForm(FlowTestForm, request.body)
    if (!form.ok) return showFlowTest(request, reply, outlet, form)
    const test = { outletId: outlet.id, testedOn: form.data.testedOn, flowM3PerH: form.data.flow }
    return write(
      { db, request, reply, at: now() },
      (pen) => addFlowTest(pen, test),
      () => `/works/outlets/${outlet.id}`,
    )
  })

  async function outletOr404(request: FastifyRequest) {
    const { id } = request.params as { id: string }
    return found((await listOutlets(db, request.visit.today)).find((outlet) => outlet.id === id))
  }

  async function showPump(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const weirs = await listWeirs(db)
    return formPage(
      { request, reply },
      {
        title: 'people.pump.title',
        form: PumpForm,
        filled,
        options: { weirId: weirs.map((weir) => ({ value: weir.id, label: `${weir.number} ${weir.name}` })) },
        action: '/works/pumps',
        cautions: ['people.pump.caution-electric', 'people.pump.caution-chamber'],
        back: '/people',
      },
    )
  }

  async function showOutlet(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const pumps = await listPumps(db, request.visit.today)
    return formPage(
      { request, reply },
      {
        title: 'people.outlet.title',
        form: OutletForm,
        filled,
        options: { pumpId: pumps.map((pump) => ({ value: pump.id, label: `${pump.number} ${pump.name}` })) },
        action: '/works/outlets',
        back: '/people',
      },
    )
  }
}

function showFlowTest(
  request: FastifyRequest,
  reply: FastifyReply,
  outlet: { id: string; number: number },
  filled: Filled,
) {
  return formPage(
    { request, reply },
    {
      title: 'people.outlet.test-title',
      titleValues: { number: outlet.number },
      form: FlowTestForm,
      filled,
      action: `/works/outlets/${outlet.id}/flow-tests`,
      back: `/works/outlets/${outlet.id}`,
    },
  )
}
