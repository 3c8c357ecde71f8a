import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { TURN_RULES } from '../../../domain/rotation/draft/limits.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { listPersons } from '../../people/person/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, type Form, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { listOutlets } from '../../works/pump/store.ts'
import { WithdrawalForm } from '../manual-change/forms.ts'
import { addPumpRoutes, pumpLines } from '../pump-flow/routes.ts'
import { FillingForm, HoursForm, LinePositionForm, PairForm } from './forms.ts'
import { addNoTurnHours, noTurnHoursOn, strikeNoTurnHours } from './hours-store.ts'
import { addTurnLengthRoutes } from './length-routes.ts'
import { turnLengthsOn } from './length-store.ts'
import {
  fillingMinutesOn,
  linePositionsOn,
  notTogetherOn,
  setFillingMinutes,
  setLinePosition,
  setOutletPair,
} from './line-store.ts'

/** What the turns go by besides water: pumps and skies, people's hours, lines. */
export function addGroundRoutes(app: FastifyInstance, parts: Parts): void {
  const { db, now } = parts
  addPumpRoutes(app, parts)
  addTurnLengthRoutes(app, parts)

  app.get('/turn-grounds', { preHandler: may('turns.see') }, async (request, reply) => {
    const { today } = request.visit
    const outlets = await listOutlets(db, today)
    const outletOf = (id: string) => outlets.find((outlet) => outlet.id === id)!
    const filling = await fillingMinutesOn(db, today)
    const positions = await linePositionsOn(db, today)
    return page({ request, reply }, 'rotation/constraints', {
      title: 'turns.grounds-title',
      lengths: { ...TURN_RULES, ...(await turnLengthsOn(db, today)) },
      pumps: await pumpLines(db, today),
      hours: await noTurnHoursOn(db, today, '9999-12-31'),
      plots: (await listPlots(db, today)).map((plot) => ({ ...plot, position: positions[plot.id] ?? null })),
      filling: Object.entries(filling).map(([id, minutes]) => ({ outlet: outletOf(id), minutes })),
      pairs: (await notTogetherOn(db, today)).map((pair) => pair.map(outletOf)),
    })
  })

  app.get('/no-turn-hours/new', { preHandler: may('water.request') }, async (request, reply) =>
    showHours(request, reply, emptyForm({ personId: request.person?.id ?? '', fromOn: request.visit.today })),
  )

  app.post('/no-turn-hours', { preHandler: may('water.request') }, async (request, reply) => {
    const form = readForm(HoursForm, request.body)
    if (!form.ok) return showHours(request, reply, form)
    const { personId, weekday, fromTime, toTime, words, fromOn, untilOn } = form.data
    if (!(await listPersons(db)).some((person) => person.id === personId)) {
      return showHours(request, reply, withError(form, 'personId', 'error.choose'))
    }
    const [fromHour, toHour] = [fromTime ? hourOf(fromTime) : 0, toTime ? hourOf(toTime) : 24]
    if (fromHour >= toHour) return showHours(request, reply, withError(form, 'toTime', 'turns.hours-backwards'))
    if (untilOn !== null && untilOn < fromOn) {
      return showHours(request, reply, withError(form, 'untilOn', 'turns.days-backwards'))
    }
    const days = { fromOn, untilOn, weekday: weekday === null ? null : Number(weekday) }
    return write(
      { db, request, reply, at: now() },
      (pen) => addNoTurnHours(pen, { personId, ...days, fromHour, toHour, words }),
      () => '/turns/turn-grounds',
    )
  })

  type WithId = { Params: { id: string } }

  app.get<WithId>(
    '/no-turn-hours/:id/withdrawals/new',
    { preHandler: may('water.request') },
    async (request, reply) => {
      const hours = await hoursOr404(request)
      return showEnd(request, reply, hours.id, emptyForm())
    },
  )

  app.post<WithId>('/no-turn-hours/:id/withdrawals', { preHandler: may('water.request') }, async (request, reply) => {
    const hours = await hoursOr404(request)
    const form = readForm(WithdrawalForm, request.body)
    if (!form.ok) return showEnd(request, reply, hours.id, form)
    return write(
      { db, request, reply, at: now() },
      (pen) => strikeNoTurnHours(pen, hours.id, form.data.reason),
      () => '/turns/turn-grounds',
    )
  })

  const works = { preHandler: may('works.describe') }

  app.get('/line-positions/new', works, async (request, reply) =>
    showPosition(request, reply, emptyForm({ fromOn: request.visit.today })),
  )

  app.post('/line-positions', works, async (request, reply) => {
    const form = readForm(LinePositionForm, request.body)
    if (!form.ok) return showPosition(request, reply, form)
    if (!(await listPlots(db, form.data.fromOn)).some((plot) => plot.id === form.data.plotId)) {
      return showPosition(request, reply, withError(form, 'plotId', 'error.choose'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setLinePosition(pen, form.data),
      () => '/turns/turn-grounds',
    )
  })

  app.get('/outlet-fillings/new', works, async (request, reply) =>
    showFilling(request, reply, emptyForm({ fromOn: request.visit.today })),
  )

  app.post('/outlet-fillings', works, async (request, reply) => {
    const form = readForm(FillingForm, request.body)
    if (!form.ok) return showFilling(request, reply, form)
    if (!(await knowsOutlets(request, [form.data.outletId]))) {
      return showFilling(request, reply, withError(form, 'outletId', 'error.choose'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setFillingMinutes(pen, form.data),
      () => '/turns/turn-grounds',
    )
  })

  app.get('/outlet-pairs/new', works, async (request, reply) =>
    showPair(request, reply, emptyForm({ together: 'no', fromOn: request.visit.today })),
  )

  app.post('/outlet-pairs', works, async (request, reply) => {
    const form = readForm(PairForm, request.body)
    if (!form.ok) return showPair(request, reply, form)
    const { outletA, outletB, together, fromOn } = form.data
    if (outletA === outletB) return showPair(request, reply, withError(form, 'outletB', 'turns.same-outlet'))
    if (!(await knowsOutlets(request, [outletA, outletB]))) {
      return showPair(request, reply, withError(form, 'outletB', 'error.choose'))
    }
    const pair = { outletIds: [outletA, outletB] as [string, string], fromOn, together: together === 'yes' }
    return write(
      { db, request, reply, at: now() },
      (pen) => setOutletPair(pen, pair),
      () => '/turns/turn-grounds',
    )
  })

  async function hoursOr404(request: FastifyRequest) {
    const { id } = request.params as { id: string }
    return found((await noTurnHoursOn(db, '0001-01-01', '9999-12-31')).find((hours) => hours.id === id))
  }

  async function knowsOutlets(request: FastifyRequest, ids: readonly string[]): Promise<boolean> {
    const outlets = await listOutlets(db, request.visit.today)
    return ids.every((id) => outlets.some((outlet) => outlet.id === id))
  }

  async function showHours(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    return show(request, reply, {
      name: 'hours',
      form: HoursForm,
      filled,
      action: '/turns/no-turn-hours',
      options: { personId: (await listPersons(db)).map(named) },
    })
  }

  async function showPosition(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const plots = await listPlots(db, request.visit.today)
    return show(request, reply, {
      name: 'line-position',
      form: LinePositionForm,
      filled,
      action: '/turns/line-positions',
      options: { plotId: plots.map(named) },
    })
  }

  async function showFilling(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const outlets = (await listOutlets(db, request.visit.today)).map(named)
    return show(request, reply, {
      name: 'filling',
      form: FillingForm,
      filled,
      action: '/turns/outlet-fillings',
      options: { outletId: outlets },
    })
  }

  async function showPair(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const outlets = (await listOutlets(db, request.visit.today)).map(named)
    return show(request, reply, {
      name: 'pair',
      form: PairForm,
      filled,
      action: '/turns/outlet-pairs',
      options: { outletA: outlets, outletB: outlets },
    })
  }

  function showEnd(request: FastifyRequest, reply: FastifyReply, id: string, filled: Filled) {
    return show(request, reply, {
      name: 'hours-end',
      form: WithdrawalForm,
      filled,
      action: `/turns/no-turn-hours/${id}/withdrawals`,
    })
  }
}

interface Shown {
  name: string
  form: Form
  filled: Filled
  action: string
  options?: Record<string, { value: string; label: string }[]>
}

function show(request: FastifyRequest, reply: FastifyReply, { name, ...shown }: Shown) {
  return formPage(
    { request, reply },
    {
      title: `turns.${name}-title`,
      ...shown,
      intro: [`turns.${name}-intro`],
      back: '/turns/turn-grounds',
    },
  )
}

function named({ id, number, name }: { id: string; number: number; name: string }) {
  return { value: id, label: `${number} ${name}` }
}

function hourOf(clock: string): number {
  const [hours, minutes] = clock.split(':').map(Number)
  return hours! + minutes! / 60
}
