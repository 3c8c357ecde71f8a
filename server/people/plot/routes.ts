import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { type FormPage, formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { listOutlets } from '../../works/pump/store.ts'
import { HoldersForm, PlotDetailForm, PlotForm, ReceivedBeforeForm } from '../forms.ts'
import { listPersons } from '../person/store.ts'
import {
  addPlot,
  describePlot,
  holderHistory,
  listPlots,
  type Plot,
  receivedBefore,
  setHolders,
  setReceivedBefore,
} from './store.ts'

type WithId = { Params: { id: string } }

export function addPlotRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/plots/new', { preHandler: may('works.describe') }, async (request, reply) => {
    const plots = await listPlots(db, request.visit.today)
    const number = String(Math.max(0, ...plots.map((plot) => plot.number)) + 1)
    return show(request, reply, newPlotPage(emptyForm({ number, shares: '1', fromOn: request.visit.today })))
  })

  app.post('/plots', { preHandler: may('works.describe') }, async (request, reply) => {
    const form = readForm(PlotForm, request.body)
    if (!form.ok) return show(request, reply, newPlotPage(form))
    const { area, ...rest } = form.data
    const taken = (await listPlots(db, request.visit.today)).some((plot) => plot.number === rest.number)
    if (taken) {
      return show(
        request,
        reply,
        newPlotPage(withError(form, 'number', 'people.number-taken', { number: rest.number })),
      )
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => addPlot(pen, { ...rest, areaM2: area }),
      (id) => `/people/plots/${id}`,
    )
  })

  app.get<WithId>('/plots/:id', { preHandler: may('people.see') }, async (request, reply) => {
    const plot = await plotOr404(request)
    const outlets = (await listOutlets(db, request.visit.today)).filter((one) => plot.outletIds.includes(one.id))
    return page({ request, reply }, 'people/plot', {
      title: 'people.plot.heading',
      titleValues: { number: plot.number, name: plot.name },
      plot,
      outlets,
      holders: await holderHistory(db, plot.id),
      before: (await receivedBefore(db)).get(plot.id) ?? null,
    })
  })

  app.get<WithId>('/plots/:id/details/new', { preHandler: may('works.describe') }, async (request, reply) => {
    const plot = await plotOr404(request)
    const { soil, method, outletIds } = plot
    const shown = { area: String(plot.areaM2), soil, method, outletIds, shares: String(plot.shares) }
    return show(request, reply, detailPage(plot, emptyForm({ ...shown, fromOn: request.visit.today })))
  })

  app.post<WithId>('/plots/:id/details', { preHandler: may('works.describe') }, async (request, reply) => {
    const plot = await plotOr404(request)
    const form = readForm(PlotDetailForm, request.body)
    if (!form.ok) return show(request, reply, detailPage(plot, form))
    const { area, ...rest } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => describePlot(pen, plot.id, { ...rest, areaM2: area }),
      () => `/people/plots/${plot.id}`,
    )
  })

  app.get<WithId>('/plots/:id/holders/new', { preHandler: may('works.describe') }, async (request, reply) => {
    const plot = await plotOr404(request)
    const holderIds = plot.holders.map((holder) => holder.id)
    return show(request, reply, holdersPage(plot, emptyForm({ holderIds, fromOn: request.visit.today })))
  })

  app.post<WithId>('/plots/:id/holders', { preHandler: may('works.describe') }, async (request, reply) => {
    const plot = await plotOr404(request)
    const form = readForm(HoldersForm, request.body)
    if (!form.ok) return show(request, reply, holdersPage(plot, form))
    return write(
      { db, request, reply, at: now() },
      (pen) => setHolders(pen, plot.id, form.data.holderIds, form.data.fromOn),
      () => `/people/plots/${plot.id}`,
    )
  })

  app.get<{ Querystring: { plotId?: string } }>(
    '/received-before/new',
    { preHandler: may('works.describe') },
    async (request, reply) => show(request, reply, receivedPage(emptyForm({ plotId: request.query.plotId ?? '' }))),
  )

  app.post('/received-before', { preHandler: may('works.describe') }, async (request, reply) => {
    const form = readForm(ReceivedBeforeForm, request.body)
    if (!form.ok) return show(request, reply, receivedPage(form))
    const { plotId, untilOn, volume } = form.data
    if (untilOn > request.visit.today) {
      return show(request, reply, receivedPage(withError(form, 'untilOn', 'people.received-before.future')))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setReceivedBefore(pen, { plotId, untilOn, volumeM3: volume }),
      () => `/people/plots/${plotId}`,
    )
  })

  async function plotOr404(request: FastifyRequest): Promise<Plot> {
    const { id } = request.params as { id: string }
    return found((await listPlots(db, request.visit.today)).find((plot) => plot.id === id))
  }

  /** Every form of this file chooses among the book's own outlets, persons and plots. */
  async function show(request: FastifyRequest, reply: FastifyReply, shown: FormPage) {
    const { today } = request.visit
    const numbered = (one: { id: string; number: number; name: string }) => ({
      value: one.id,
      label: `${one.number} ${one.name}`,
    })
    const options = {
      outletIds: (await listOutlets(db, today)).map(numbered),
      holderIds: (await listPersons(db)).map(numbered),
      plotId: (await listPlots(db, today)).map(numbered),
    }
    return formPage({ request, reply }, { ...shown, options })
  }
}

function newPlotPage(filled: Filled): FormPage {
  return { title: 'people.plot.title', form: PlotForm, filled, action: '/people/plots', back: '/people' }
}

function detailPage(plot: Plot, filled: Filled): FormPage {
  return aboutPlot(plot, 'people.plot.detail-title', { form: PlotDetailForm, filled, action: 'details' })
}

function holdersPage(plot: Plot, filled: Filled): FormPage {
  return aboutPlot(plot, 'people.plot.holders-title', { form: HoldersForm, filled, action: 'holders' })
}

function aboutPlot(plot: Plot, title: string, shown: Pick<FormPage, 'form' | 'filled' | 'action'>): FormPage {
  const place = `/people/plots/${plot.id}`
  return { ...shown, title, titleValues: { number: plot.number }, action: `${place}/${shown.action}`, back: place }
}

function receivedPage(filled: Filled): FormPage {
  const form = ReceivedBeforeForm
  return { title: 'people.received-before.title', form, filled, action: '/people/received-before', back: '/people' }
}
