import { write } from '../../book/pen.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { cropSettings, setPlotGauge } from '../setting/store.ts'
import { GaugeForm, GaugeRainForm, PlotGaugeForm } from './forms.ts'
import { addGauge, addGaugeRain, gaugeRain, listGauges, type RainGauge } from './gauge-store.ts'

/** Stands for the weather book's own rain where a plot is led back to it. */
const BOOK = 'book'

/** Rain gauges beside that of the weather book, what was read in them, and which plot looks to which. */
export function addGaugePages({ get, post }: Pages): void {
  get('/crops/weather/gauge', 'crops.declare', newGauge)
  post('/crops/weather/gauge', 'crops.declare', writeGauge)
  get('/crops/weather/gauge?as=plots', 'crops.declare', newPlots)
  post('/crops/weather/gauge?as=plots', 'crops.declare', writePlots)
  get('/crops/lines/gauge-rain/:id', 'crops.see', showGauge)
  get('/crops/weather/new/:id', 'weather.record', newRain)
  post('/crops/weather/new/:id', 'weather.record', writeRain)
}

/** The gauges beside the weather book, each with the plots that look to it, and the plots that look to the book. */
export async function gaugesShown(desk: Desk) {
  const { today } = desk
  const { gaugeOfPlot } = await cropSettings(desk.db, today)
  const plots = await listPlots(desk.db, today)
  const gauges = await listGauges(desk.db)
  return {
    rows: gauges.map((gauge) => ({ gauge, plots: plots.filter((plot) => gaugeOfPlot.get(plot.id) === gauge.id) })),
    others: plots.filter((plot) => !gaugeOfPlot.has(plot.id)),
  }
}

async function newGauge(desk: Desk) {
  const next = Math.max(0, ...(await listGauges(desk.db)).map((gauge) => gauge.number)) + 1
  return showGaugeForm(desk, emptyForm({ number: String(next) }))
}

async function writeGauge(desk: Desk) {
  const form = readForm(GaugeForm, desk.body)
  if (!form.ok) return showGaugeForm(desk, form)
  const { number } = form.data
  if ((await listGauges(desk.db)).some((gauge) => gauge.number === number)) {
    return showGaugeForm(desk, withError(form, 'number', 'planting.wrong.gauge-number', { number }))
  }
  return write(
    desk,
    (pen) => addGauge(pen, form.data),
    (id) => `/crops/lines/gauge-rain/${id}`,
  )
}

async function newPlots(desk: Desk) {
  return showPlots(desk, emptyForm({ fromOn: desk.today }))
}

async function writePlots(desk: Desk) {
  const form = readForm(PlotGaugeForm, desk.body)
  if (!form.ok) return showPlots(desk, form)
  const { gaugeId, plotIds, fromOn } = form.data
  const known = gaugeId === BOOK || (await listGauges(desk.db)).some((gauge) => gauge.id === gaugeId)
  if (!known) return showPlots(desk, withError(form, 'gaugeId', 'error.choose'))
  const plots = await listPlots(desk.db, fromOn)
  if (!plotIds.every((id) => plots.some((plot) => plot.id === id))) {
    return showPlots(desk, withError(form, 'plotIds', 'error.choose'))
  }
  return write(
    desk,
    async (pen) => {
      for (const id of plotIds) await setPlotGauge(pen, id, gaugeId === BOOK ? null : gaugeId, fromOn)
    },
    () => '/crops/weather?open=gauges#gauges',
  )
}

async function showGauge(desk: Desk<'id'>) {
  const gauge = await gaugeOr404(desk)
  const all = await gaugeRain(desk.db, { fromOn: '0001-01-01', toOn: desk.today })
  return page(desk, 'crops/weather/gauge', {
    title: 'weather.gauge.heading',
    titleValues: { number: gauge.number, name: gauge.name },
    gauge,
    rain: all.filter((one) => one.gaugeId === gauge.id).reverse(),
  })
}

async function newRain(desk: Desk<'id'>) {
  const gauge = await gaugeOr404(desk)
  return showRain(desk, gauge, emptyForm({ onDate: desk.query.on ?? desk.today }))
}

async function writeRain(desk: Desk<'id'>) {
  const gauge = await gaugeOr404(desk)
  const form = readForm(GaugeRainForm, desk.body)
  if (!form.ok) return showRain(desk, gauge, form)
  const { onDate, rainMm, reason } = form.data
  if (onDate > desk.today) {
    return showRain(desk, gauge, withError(form, 'onDate', 'crops.wrong.day-to-come'))
  }
  const stands = (await gaugeRain(desk.db, { fromOn: onDate, toOn: onDate })).some((one) => one.gaugeId === gauge.id)
  if (stands && !desk.may('weather.change')) {
    return showRain(desk, gauge, withError(form, 'onDate', 'crops.wrong.day-officers'))
  }
  if (stands && reason === null) {
    return showRain(desk, gauge, withError(form, 'reason', 'crops.wrong.day-stands'))
  }
  return write(
    desk,
    (pen) => addGaugeRain(pen, { gaugeId: gauge.id, onDate, rainMm }, { reason: reason ?? undefined }),
    () => `/crops/lines/gauge-rain/${gauge.id}`,
  )
}

async function gaugeOr404(desk: Desk<'id'>): Promise<RainGauge> {
  const { id } = desk.params
  return found((await listGauges(desk.db)).find((gauge) => gauge.id === id))
}

async function showPlots(desk: Desk, filled: Filled) {
  const { t } = desk
  const gauges = (await listGauges(desk.db)).map(({ id, number, name }) => ({
    value: id,
    label: t('weather.gauge-name', { number, name }),
  }))
  const plots = (await listPlots(desk.db, desk.today)).map(({ id, number, name }) => ({
    value: id,
    label: t('weather.gauge-name', { number, name }),
  }))
  return formPage(desk, {
    title: 'weather.plot-gauge.title',
    intro: ['weather.plot-gauge.intro'],
    form: PlotGaugeForm,
    filled,
    options: { gaugeId: [...gauges, { value: BOOK, label: t('weather.plot-gauge.book') }], plotIds: plots },
    action: '/crops/weather/gauge?as=plots',
    back: '/crops/weather?open=gauges#gauges',
  })
}

function showGaugeForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'weather.gauge.title',
    intro: ['weather.gauge.intro'],
    form: GaugeForm,
    filled,
    action: '/crops/weather/gauge',
    back: '/crops/weather?open=gauges#gauges',
  })
}

function showRain(desk: Desk, gauge: RainGauge, filled: Filled) {
  return formPage(desk, {
    title: 'weather.gauge-rain.title',
    titleValues: { number: gauge.number, name: gauge.name },
    intro: ['weather.gauge-rain.intro'],
    form: GaugeRainForm,
    filled,
    action: `/crops/weather/new/${gauge.id}`,
    back: `/crops/lines/gauge-rain/${gauge.id}`,
  })
}
