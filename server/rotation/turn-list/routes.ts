import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays } from '../../../domain/calendar.ts'
import { PAUSE_CAUSES, type PauseCause, sequence } from '../../../domain/rotation/turn-list.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { date, lines, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { listPumps, type Pump } from '../../works/pump/store.ts'
import { servedBefore } from './next.ts'
import { addPause, addServed, addTurnList, openPause, pausesOf, turnListOn } from './store.ts'

const ListForm = defineForm('day.list', {
  fromOn: date(),
  perDay: whole({ min: 1, max: 50 }),
  plots: lines({ max: 4000 }),
})

const PauseForm = defineForm('day.pause', {
  cause: select(PAUSE_CAUSES),
  fromOn: date(),
  untilOn: optional(date()),
  words: optional(text({ max: 80 })),
})

const DAYS_SHOWN = 14

type WithPump = { Params: { pumpId: string } }

/** Turns by list, for pumps whose group takes turns name by name. */
export function addSequenceRoutes(app: FastifyInstance, { db, now }: Parts): void {
  const committee = { preHandler: may('week.publish') }
  const attending = { preHandler: may('abstraction.log') }

  app.get('/sequence', { preHandler: may('turns.see') }, async (request, reply) => {
    const pumps = await listPumps(db, request.visit.today)
    return page({ request, reply }, 'rotation/turn-list/list', { title: 'day.lists-title', pumps })
  })

  app.get<WithPump>('/sequence/:pumpId', { preHandler: may('turns.see') }, async (request, reply) => {
    const pump = await pumpOr404(request)
    const { today } = request.visit
    const list = await turnListOn(db, pump.id, today)
    const plots = await listPlots(db, today)
    const named = (id: string) => plots.find((plot) => plot.id === id)
    const pauses = await pausesOf(db, pump.id)
    const reckoned = list && {
      ...sequence({
        names: list.plotIds,
        perDay: list.perDay,
        served: await servedBefore(db, {
          pumpId: pump.id,
          fromOn: list.fromOn,
          on: addDays(today, 1),
          today: addDays(today, 1),
        }),
        pauses,
        fromOn: today,
        days: DAYS_SHOWN,
      }),
    }
    return page({ request, reply }, 'rotation/turn-list/page', {
      title: 'day.list-title',
      titleValues: { number: pump.number, name: pump.name },
      pump,
      list: list ?? null,
      order: reckoned?.order.map(named).filter((plot) => plot !== undefined) ?? [],
      days: reckoned?.days.map((day) => ({ ...day, plots: day.names.map(named) })) ?? [],
      openPause: (await openPause(db, pump.id)) ?? null,
    })
  })

  app.get<WithPump>('/sequence/:pumpId/lists/new', committee, async (request, reply) => {
    const pump = await pumpOr404(request)
    const list = await turnListOn(db, pump.id, request.visit.today)
    const plots = await listPlots(db, request.visit.today)
    const numbers = (list?.plotIds ?? []).map((id) => plots.find((plot) => plot.id === id)?.number ?? '')
    const values = { fromOn: request.visit.today, perDay: String(list?.perDay ?? 3), plots: numbers.join('\n') }
    return showForm(request, reply, { pump, form: ListForm, name: 'lists', filled: emptyForm(values) })
  })

  app.post<WithPump>('/sequence/:pumpId/lists', committee, async (request, reply) => {
    const pump = await pumpOr404(request)
    const form = readForm(ListForm, request.body)
    if (!form.ok) return showForm(request, reply, { pump, form: ListForm, name: 'lists', filled: form })
    const read = plotsOfLines(form.data.plots, await listPlots(db, form.data.fromOn))
    if ('wrong' in read) {
      const filled = withError(form, 'plots', `day.list-${read.why}`, { number: read.wrong })
      return showForm(request, reply, { pump, form: ListForm, name: 'lists', filled })
    }
    const { fromOn, perDay } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => addTurnList(pen, { pumpId: pump.id, fromOn, perDay, plotIds: read.plotIds }),
      () => `/turns/sequence/${pump.id}`,
    )
  })

  app.post<WithPump & { Body: { plotId?: string } }>('/sequence/:pumpId/served', attending, async (request, reply) => {
    const pump = await pumpOr404(request)
    const list = found(await turnListOn(db, pump.id, request.visit.today))
    const plotId = found(list.plotIds.find((id) => id === request.body?.plotId))
    return write(
      { db, request, reply, at: now() },
      (pen) => addServed(pen, { pumpId: pump.id, plotId, on: request.visit.today }),
      () => `/turns/sequence/${pump.id}`,
    )
  })

  app.get<WithPump>('/sequence/:pumpId/pauses/new', attending, async (request, reply) => {
    const filled = emptyForm({ fromOn: request.visit.today })
    return showForm(request, reply, { pump: await pumpOr404(request), form: PauseForm, name: 'pauses', filled })
  })

  app.post<WithPump>('/sequence/:pumpId/pauses', attending, async (request, reply) => {
    const pump = await pumpOr404(request)
    const form = readForm(PauseForm, request.body)
    if (!form.ok) return showForm(request, reply, { pump, form: PauseForm, name: 'pauses', filled: form })
    if (form.data.untilOn !== null && form.data.untilOn < form.data.fromOn) {
      const filled = withError(form, 'untilOn', 'day.pause-ends-early')
      return showForm(request, reply, { pump, form: PauseForm, name: 'pauses', filled })
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => addPause(pen, pump.id, form.data, null),
      () => `/turns/sequence/${pump.id}`,
    )
  })

  /** The list goes on today: the pause ended yesterday, or on its own first day. */
  app.post<WithPump>('/sequence/:pumpId/resumption', attending, async (request, reply) => {
    const pump = await pumpOr404(request)
    const open = await openPause(db, pump.id)
    if (!open) throw new PageError(409, 'day.not-paused')
    const untilOn = [addDays(request.visit.today, -1), open.fromOn].sort().at(-1)!
    const pause = { fromOn: open.fromOn, untilOn, cause: open.cause as PauseCause, words: open.words }
    return write(
      { db, request, reply, at: now() },
      (pen) => addPause(pen, pump.id, pause, open.id),
      () => `/turns/sequence/${pump.id}`,
    )
  })

  async function pumpOr404(request: FastifyRequest): Promise<Pump> {
    const { pumpId } = request.params as { pumpId: string }
    return found((await listPumps(db, request.visit.today)).find((pump) => pump.id === pumpId))
  }
}

/** Plot numbers, one a line or with commas, in the order of the list. */
function plotsOfLines(
  typed: string,
  plots: readonly Plot[],
): { plotIds: string[] } | { wrong: string; why: 'no-such-plot' | 'plot-twice' } {
  const plotIds: string[] = []
  for (const number of typed.split(/[\s,;]+/).filter(Boolean)) {
    const plot = plots.find((one) => String(one.number) === number)
    if (!plot) return { wrong: number, why: 'no-such-plot' }
    if (plotIds.includes(plot.id)) return { wrong: number, why: 'plot-twice' }
    plotIds.push(plot.id)
  }
  return { plotIds }
}

interface ShownForm {
  pump: Pump
  form: typeof ListForm | typeof PauseForm
  name: 'lists' | 'pauses'
  filled: Filled
}

function showForm(request: FastifyRequest, reply: FastifyReply, { pump, form, name, filled }: ShownForm) {
  return formPage(
    { request, reply },
    {
      title: name === 'lists' ? 'day.list.title' : 'day.pause.title',
      titleValues: { number: pump.number, name: pump.name },
      form,
      filled,
      action: `/turns/sequence/${pump.id}/${name}`,
      intro: [name === 'lists' ? 'day.list.intro' : 'day.pause.intro'],
      back: `/turns/sequence/${pump.id}`,
    },
  )
}
