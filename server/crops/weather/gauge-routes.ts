import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { GaugeForm, GaugeRainForm, PlotGaugeForm } from '../setting/forms.ts'
import { cropSettings, setPlotGauge } from '../setting/store.ts'
import { addGauge, addGaugeRain, gaugeRain, listGauges, type RainGauge } from './gauge-store.ts'

type WithId = { Params: { id: string } }

const SEE = { preHandler: may('crops.see') }
const SET = { preHandler: may('crops.declare') }
const RECORD = { preHandler: may('weather.record') }

/** Stands for the weather book's own rain where a plot is led back to it. */
const BOOK = 'book'

/** Rain gauges beside that of the weather book, what was read in them, and which plot looks to which. */
export function addGaugeRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/weather/gauges', SEE, async (request, reply) => {
    const { today } = request.visit
    const { gaugeOfPlot } = await cropSettings(db, today)
    const plots = await listPlots(db, today)
    const gauges = await listGauges(db)
    return page({ request, reply }, 'crops/weather/gauges', {
      title: 'planting.gauge.list',
      rows: gauges.map((gauge) => ({ gauge, plots: plots.filter((plot) => gaugeOfPlot.get(plot.id) === gauge.id) })),
      others: plots.filter((plot) => !gaugeOfPlot.has(plot.id)),
    })
  })

  app.get('/weather/gauges/new', SET, async (request, reply) => {
    const next = Math.max(0, ...(await listGauges(db)).map((gauge) => gauge.number)) + 1
    return showGauge(request, reply, emptyForm({ number: String(next) }))
  })

  app.post('/weather/gauges', SET, async (request, reply) => {
    const form = readForm(GaugeForm, request.body)
    if (!form.ok) return showGauge(request, reply, form)
    const { number } = form.data
    if ((await listGauges(db)).some((gauge) => gauge.number === number)) {
      return showGauge(request, reply, withError(form, 'number', 'planting.wrong.gauge-number', { number }))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => addGauge(pen, form.data),
      (id) => `/crops/weather/gauges/${id}`,
    )
  })

  app.get('/weather/gauges/plots/new', SET, async (request, reply) =>
    showPlots(request, reply, emptyForm({ fromOn: request.visit.today })),
  )

  app.post('/weather/gauges/plots', SET, async (request, reply) => {
    const form = readForm(PlotGaugeForm, request.body)
    if (!form.ok) return showPlots(request, reply, form)
    const { gaugeId, plotIds, fromOn } = form.data
    const known = gaugeId === BOOK || (await listGauges(db)).some((gauge) => gauge.id === gaugeId)
    if (!known) return showPlots(request, reply, withError(form, 'gaugeId', 'error.choose'))
    const plots = await listPlots(db, fromOn)
    if (!plotIds.every((id) => plots.some((plot) => plot.id === id))) {
      return showPlots(request, reply, withError(form, 'plotIds', 'error.choose'))
    }
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        for (const id of plotIds) await setPlotGauge(pen, id, gaugeId === BOOK ? null : gaugeId, fromOn)
      },
      () => '/crops/weather/gauges',
    )
  })

  app.get<WithId>('/weather/gauges/:id', SEE, async (request, reply) => {
    const gauge = await gaugeOr404(request)
    const all = await gaugeRain(db, { fromOn: '0001-01-01', toOn: request.visit.today })
    return page({ request, reply }, 'crops/weather/gauge', {
      title: 'planting.gauge.heading',
      titleValues: { number: gauge.number, name: gauge.name },
      gauge,
      rain: all.filter((one) => one.gaugeId === gauge.id).reverse(),
    })
  })

  app.get<WithId & { Querystring: { on?: string } }>('/weather/gauges/:id/rain/new', RECORD, async (request, reply) => {
    const gauge = await gaugeOr404(request)
    return showRain(request, reply, gauge, emptyForm({ onDate: request.query.on ?? request.visit.today }))
  })

  app.post<WithId>('/weather/gauges/:id/rain', RECORD, async (request, reply) => {
    const gauge = await gaugeOr404(request)
    const form = readForm(GaugeRainForm, request.body)
    if (!form.ok) return showRain(request, reply, gauge, form)
    const { onDate, rainMm, reason } = form.data
    if (onDate > request.visit.today) {
      return showRain(request, reply, gauge, withError(form, 'onDate', 'crops.wrong.day-to-come'))
    }
    const stands = (await gaugeRain(db, { fromOn: onDate, toOn: onDate })).some((one) => one.gaugeId === gauge.id)
    if (stands && reason === null) {
      return showRain(request, reply, gauge, withError(form, 'reason', 'crops.wrong.day-stands'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => addGaugeRain(pen, { gaugeId: gauge.id, onDate, rainMm }, { reason: reason ?? undefined }),
      () => `/crops/weather/gauges/${gauge.id}`,
    )
  })

  async function gaugeOr404(request: FastifyRequest): Promise<RainGauge> {
    const { id } = request.params as { id: string }
    return found((await listGauges(db)).find((gauge) => gauge.id === id))
  }

  async function showPlots(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { t } = request.visit.locale
    const gauges = (await listGauges(db)).map(({ id, number, name }) => ({
      value: id,
      label: t('planting.gauge-name', { number, name }),
    }))
    const plots = (await listPlots(db, request.visit.today)).map(({ id, number, name }) => ({
      value: id,
      label: t('planting.gauge-name', { number, name }),
    }))
    return formPage(
      { request, reply },
      {
        title: 'planting.plot-gauge.title',
        intro: ['planting.plot-gauge.intro'],
        form: PlotGaugeForm,
        filled,
        options: { gaugeId: [...gauges, { value: BOOK, label: t('planting.plot-gauge.book') }], plotIds: plots },
        action: '/crops/weather/gauges/plots',
        back: '/crops/weather/gauges',
      },
    )
  }
}

function showGauge(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'planting.gauge.title',
      intro: ['planting.gauge.intro'],
      form: GaugeForm,
      filled,
      action: '/crops/weather/gauges',
      back: '/crops/weather/gauges',
    },
  )
}

function showRain(request: FastifyRequest, reply: FastifyReply, gauge: RainGauge, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'planting.gauge-rain.title',
      titleValues: { number: gauge.number, name: gauge.name },
      intro: ['planting.gauge-rain.intro'],
      form: GaugeRainForm,
      filled,
      action: `/crops/weather/gauges/${gauge.id}/rain`,
      back: `/crops/weather/gauges/${gauge.id}`,
    },
  )
}
