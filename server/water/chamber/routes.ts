import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { chamberLimit } from '../../../domain/water/index.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { listPumps } from '../../works/pump/store.ts'
import { type WaterState, waterStates } from '../weir/state.ts'
import type { Weir } from '../weir/store.ts'
import { ChamberForm, RefillForm } from './forms.ts'
import { chamberAreaM2, refillOfLines } from './input.ts'
import { chamberNow, conductanceOf } from './limit.ts'
import { addChamber, addRefillTest, chamberOn, listRefillTests } from './store.ts'
import type { Chamber } from './types.ts'

type WithId = { Params: { id: string } }
const CAUTIONS = ['water.caution-chamber', 'sand.caution-pump', 'water.caution-flood']

/** The collecting chamber: its measures, its refill tests, and what it gives at today's level. */
export function addChamberRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<WithId>('/weirs/:id/chamber', { preHandler: may('water.see') }, async (request, reply) => {
    const state = await stateOr404(request)
    const on = request.visit.today
    const chamber = await chamberOn(db, state.weir.id, on)
    const tests = await listRefillTests(db, state.weir.id, on)
    const test = tests.at(-1) ?? null
    const limit = chamberNow({ state, chamber, test })
    return page({ request, reply }, 'water/chamber', {
      title: 'sand.chamber.title',
      titleValues: { number: state.weir.number },
      state,
      chamber,
      test,
      tests: tests.toReversed().map((one) => ({ ...one, refill: conductanceOf(one) })),
      limit,
      pumps: await pumpsBeside(state, chamber, limit),
      cautions: CAUTIONS,
    })
  })

  app.get<WithId>('/weirs/:id/chambers/new', { preHandler: may('water.describe') }, async (request, reply) => {
    const { weir } = await stateOr404(request)
    return showChamber(request, reply, weir, emptyForm({ fromOn: request.visit.today }))
  })

  app.post<WithId>('/weirs/:id/chambers', { preHandler: may('water.describe') }, async (request, reply) => {
    const { weir } = await stateOr404(request)
    const form = readForm(ChamberForm, request.body)
    if (!form.ok) return showChamber(request, reply, weir, form)
    const { depth, rimAboveCrest, stopBelowRim, fromOn } = form.data
    if (stopBelowRim >= depth * 100)
      return showChamber(
        request,
        reply,
        weir,
        withError(form, 'stopBelowRim', 'sand.error.stop-below-floor', { depth: depth * 100 }),
      )
    if (fromOn > request.visit.today)
      return showChamber(request, reply, weir, withError(form, 'fromOn', 'sand.error.chamber-future'))
    const areaM2 = chamberAreaM2(form.data)
    const measures = { areaM2, depthM: depth, rimAboveCrestM: rimAboveCrest, stopBelowRimCm: stopBelowRim }
    return write(
      { db, request, reply, at: now() },
      (pen) => addChamber(pen, { weirId: weir.id, fromOn, ...measures }),
      () => `/water/weirs/${weir.id}/chamber`,
    )
  })

  app.get<WithId>('/weirs/:id/refill-tests/new', { preHandler: may('level.record') }, async (request, reply) => {
    const { weir } = await testable(request, request.visit.today)
    return showRefill(request, reply, weir, emptyForm({ testedOn: request.visit.today }))
  })

  app.post<WithId>('/weirs/:id/refill-tests', { preHandler: may('level.record') }, async (request, reply) => {
    const form = readForm(RefillForm, request.body)
    const { weir, chamber } = await testable(request, request.visit.today)
    if (!form.ok) return showRefill(request, reply, weir, form)
    const { testedOn, rest, remark } = form.data
    if (testedOn > request.visit.today)
      return showRefill(request, reply, weir, withError(form, 'testedOn', 'sand.error.test-future'))
    const read = refillOfLines(form.data.readings, { restCm: rest, form })
    if ('problem' in read) return showRefill(request, reply, weir, read.problem)
    const { areaM2 } = (await chamberOn(db, weir.id, testedOn)) ?? chamber
    return write(
      { db, request, reply, at: now() },
      (pen) =>
        addRefillTest(pen, {
          weirId: weir.id,
          testedOn,
          areaM2,
          restBelowRimCm: rest,
          remark,
          readings: read.readings,
        }),
      () => `/water/weirs/${weir.id}/chamber`,
    )
  })

  /** Each pump of the weir beside what the chamber gives. */
  async function pumpsBeside(
    state: WaterState,
    chamber: Chamber | null,
    { refill, headM, stopLevelM }: ReturnType<typeof chamberNow>,
  ) {
    if (!chamber || !refill || headM === null || stopLevelM === null) return []
    const pumps = (await listPumps(db, state.on)).filter((pump) => pump.weirId === state.weir.id)
    return pumps.map((pump) => ({
      ...pump,
      ...chamberLimit({
        conductanceM2PerH: refill.conductanceM2PerH,
        chamberAreaM2: chamber.areaM2,
        waterLevelM: stopLevelM + headM,
        stopLevelM,
        pumpFlowM3PerH: pump.usualFlowM3PerH,
      }),
    }))
  }

  /** Without the chamber's area a test says nothing. */
  async function testable(request: FastifyRequest, on: string): Promise<{ weir: Weir; chamber: Chamber }> {
    const { weir } = await stateOr404(request)
    const chamber = await chamberOn(db, weir.id, on)
    if (!chamber) throw new PageError(409, 'sand.chamber.first')
    return { weir, chamber }
  }

  async function stateOr404(request: FastifyRequest): Promise<WaterState> {
    const { id } = request.params as { id: string }
    return found((await waterStates(db, { on: request.visit.today })).find(({ weir }) => weir.id === id))
  }
}

function showChamber(request: FastifyRequest, reply: FastifyReply, weir: Weir, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'sand.chamberForm.title',
      titleValues: { number: weir.number },
      form: ChamberForm,
      filled,
      action: `/water/weirs/${weir.id}/chambers`,
      intro: ['sand.chamberForm.intro'],
      cautions: CAUTIONS,
      back: `/water/weirs/${weir.id}/chamber`,
    },
  )
}

function showRefill(request: FastifyRequest, reply: FastifyReply, weir: Weir, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'sand.refill.title',
      titleValues: { number: weir.number },
      form: RefillForm,
      filled,
      action: `/water/weirs/${weir.id}/refill-tests`,
      intro: ['sand.refill.intro', 'sand.refill.intro-when'],
      cautions: CAUTIONS,
      back: `/water/weirs/${weir.id}/chamber`,
    },
  )
}
