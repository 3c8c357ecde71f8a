import { partsTyped } from '../../../domain/people/split.ts'
import { isOwnMatter } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { keptFrom, nextOr, type Repeated } from '../../web/pages/another.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { type FormPage, formPage, numberedOption } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { landCounted, landOptions, landTyped } from '../measure/land-state.ts'
import { typedSentences } from '../measure/state.ts'
import { countOptions, countTyped } from '../measure/volume-state.ts'
import { listPersons } from '../person/store.ts'
import { plotOr404 } from './asked.ts'
import { HoldersForm, PlotDetailForm, PlotForm, ReceivedBeforeForm } from './forms.ts'
import { letInWords } from './owner-state.ts'
import { splitsInWords } from './split-routes.ts'
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

/** Soil and watering of one plot are often those of its neighbour. */
const NEXT_PLOT: Repeated = { path: '/people/plots/new', keeps: ['fromOn', 'soil', 'method'] }

/** More than any plot of a garden gets in a season. The bound is ours. */
const MOST_BEFORE_M3 = 1_000_000

/** Plots: their ground and outlets, who holds them, and what they had received before the book began. */
export function addPlotPages({ get, post }: Pages): void {
  get('/people/plots/new', 'works.describe', newPlot)
  post('/people/plots/new', 'works.describe', writePlot)
  get('/people/plots/:id', 'people.see', showPlot)
  get('/people/plots/:id/change', 'works.describe', newDetails)
  post('/people/plots/:id/change', 'works.describe', writeDetails)
  get('/people/plots/:id/change?as=holders', 'works.describe', newHolders)
  post('/people/plots/:id/change?as=holders', 'works.describe', writeHolders)
  get('/people/settle/received-before', 'works.describe', newReceived)
  post('/people/settle/received-before', 'works.describe', writeReceived)
}

async function newPlot(desk: Desk) {
  const plots = await listPlots(desk.db, desk.today)
  const number = String(Math.max(0, ...plots.map((plot) => plot.number)) + 1)
  return show(desk, newPlotPage(emptyForm({ number, shares: '1', fromOn: desk.today, ...keptFrom(desk, NEXT_PLOT) })))
}

async function writePlot(desk: Desk) {
  const form = readForm(PlotForm, desk.body)
  if (!form.ok) return show(desk, newPlotPage(form))
  const { area, ownArea, ownAreaIn, ...rest } = form.data
  const { number } = rest
  if ((await listPlots(desk.db, desk.today)).some((plot) => plot.number === number)) {
    return show(desk, newPlotPage(withError(form, 'number', 'people.number-taken', { number })))
  }
  const land = await landTyped(desk, form, 'area of a plot, m2')
  if ('again' in land) return show(desk, newPlotPage(land.again))
  if (await isOwnMatter(desk, rest.holderIds))
    return show(desk, newPlotPage(withError(form, 'holderIds', 'names.own-matter')))
  return write(
    desk,
    (pen) => addPlot(pen, { ...rest, ...land }),
    (id) => nextOr(desk, NEXT_PLOT, `/people/plots/${id}`),
  )
}

async function showPlot(desk: Desk<'id'>) {
  const { db, today, parts } = desk
  const plot = await plotOr404(desk)
  return page(desk, 'people/plot', {
    title: 'people.plot.heading',
    titleValues: { number: plot.number, name: plot.name },
    plot,
    land: plot.isAreaKnown ? await landCounted(desk, plot.areaM2) : '',
    outlets: (await parts.people.outletsOn(db, today)).filter(({ id }) => plot.outletIds.includes(id)),
    holders: await holderHistory(db, plot.id),
    before: await beforeInWords(desk, plot),
    splits: await splitsInWords(desk, plot.id),
    isLet: await letInWords(desk, plot),
  })
}

/** What a plot had received before the book, with how that was counted. */
async function beforeInWords(desk: Desk, plot: Plot) {
  const before = (await receivedBefore(desk.db)).get(plot.id)
  return before ? { ...before, counted: (await typedSentences(desk, [before.id])).get(before.id) ?? '' } : null
}

async function newDetails(desk: Desk<'id'>) {
  const plot = await plotOr404(desk)
  const { areaM2, isAreaKnown, soil, method, outletIds, shares } = plot
  const typed = {
    area: isAreaKnown ? String(areaM2) : '',
    soil,
    method,
    outletIds,
    shares: String(shares),
    fromOn: desk.today,
  }
  return show(desk, detailPage(plot, emptyForm(typed)))
}

async function writeDetails(desk: Desk<'id'>) {
  const plot = await plotOr404(desk)
  const form = readForm(PlotDetailForm, desk.body)
  if (!form.ok) return show(desk, detailPage(plot, form))
  const { area, ownArea, ownAreaIn, ...rest } = form.data
  const land = await landTyped(desk, form, 'area of a plot, m2')
  if ('again' in land) return show(desk, detailPage(plot, land.again))
  const { areaM2 } = land
  const isMore = areaM2 !== null && (areaM2 > plot.areaM2 || !plot.isAreaKnown)
  if (
    (isMore || rest.shares > plot.shares) &&
    (await isOwnMatter(
      desk,
      plot.holders.map(({ id }) => id),
    ))
  )
    return show(
      desk,
      detailPage(plot, withError(form, isMore ? (area === null ? 'ownArea' : 'area') : 'shares', 'names.own-matter')),
    )
  return write(
    desk,
    (pen) => describePlot(pen, plot.id, { ...rest, ...land }),
    () => `/people/plots/${plot.id}`,
  )
}

async function newHolders(desk: Desk<'id'>) {
  const plot = await plotOr404(desk)
  const holderIds = plot.holders.map((holder) => holder.id)
  return show(desk, holdersPage(plot, emptyForm({ holderIds, fromOn: desk.today })))
}

async function writeHolders(desk: Desk<'id'>) {
  const plot = await plotOr404(desk)
  const form = readForm(HoldersForm, desk.body)
  if (!form.ok) return show(desk, holdersPage(plot, form))
  const { holderIds, parts: typed, fromOn } = form.data
  const taken = holderIds.filter((id) => !plot.holders.some((holder) => holder.id === id))
  if (await isOwnMatter(desk, taken))
    return show(desk, holdersPage(plot, withError(form, 'holderIds', 'names.own-matter')))
  const published = await publishedBeyond(desk, plot, { holderIds, fromOn })
  if (published)
    return show(desk, holdersPage(plot, withError(form, 'fromOn', 'people.plot.holders-published', published)))
  // Parts are typed in the order of the numbers, as the page lists the holders.
  const byNumber = (await listPersons(desk.db)).map(({ id }) => id).filter((id) => holderIds.includes(id))
  const parts = typed === null ? [] : partsTyped(typed, byNumber.length)
  if (parts === null) return show(desk, holdersPage(plot, withError(form, 'parts', 'people.plot.parts-wrong')))
  return write(
    desk,
    (pen) => setHolders(pen, plot.id, byNumber, fromOn, parts),
    () => `/people/plots/${plot.id}`,
  )
}

/** Until when weeks are published, where somebody would lose a plot within them: its turns were agreed with whoever holds it. */
async function publishedBeyond(
  { db, parts, format, person }: Desk,
  plot: Plot,
  { holderIds, fromOn }: { holderIds: readonly string[]; fromOn: string },
): Promise<{ until: string } | null> {
  const until = await parts.people.publishedUntil(db)
  const loses = plot.holders.some(({ id }) => id !== person.id && !holderIds.includes(id))
  return loses && until !== null && fromOn <= until ? { until: format.date(until) } : null
}

async function newReceived(desk: Desk) {
  return show(desk, receivedPage(emptyForm({ plotId: desk.query.plotId ?? '' })))
}

async function writeReceived(desk: Desk) {
  const form = readForm(ReceivedBeforeForm, desk.body)
  if (!form.ok) return show(desk, receivedPage(form))
  const { plotId, untilOn, volume, volumeIn } = form.data
  if (untilOn > desk.today) {
    return show(desk, receivedPage(withError(form, 'untilOn', 'people.received-before.future')))
  }
  const loggedOn = await desk.parts.people.firstWaterOn(desk.db, plotId)
  if (loggedOn !== null && untilOn >= loggedOn) {
    const first = { date: desk.format.date(loggedOn) }
    return show(desk, receivedPage(withError(form, 'untilOn', 'people.received-before.in-log', first)))
  }
  const plot = (await listPlots(desk.db, desk.today)).find(({ id }) => id === plotId)
  if (
    plot &&
    (await isOwnMatter(
      desk,
      plot.holders.map(({ id }) => id),
    ))
  )
    return show(desk, receivedPage(withError(form, 'plotId', 'names.own-matter')))
  const lines = { figure: volume, unit: volumeIn, field: 'volume', unitField: 'volumeIn', on: desk.today }
  const read = await countTyped(desk.db, form, { ...lines, mostM3: MOST_BEFORE_M3, usual: 'water of a season, m3' })
  if ('again' in read) return show(desk, receivedPage(read.again))
  return write(
    desk,
    (pen) => setReceivedBefore(pen, { plotId, untilOn, volumeM3: read.volumeM3! }, read.typed),
    () => `/people/plots/${plotId}`,
  )
}

/** Every form of this file chooses among the book's own outlets, persons and plots. */
async function show(desk: Desk, shown: FormPage) {
  const { db, today, parts } = desk
  const options = {
    outletIds: (await parts.people.outletsOn(db, today)).map(numberedOption),
    holderIds: (await listPersons(db)).map(numberedOption),
    plotId: (await listPlots(db, today)).map(numberedOption),
    ownAreaIn: await landOptions(desk),
    volumeIn: await countOptions(desk),
  }
  return formPage(desk, { ...shown, options })
}

function newPlotPage(filled: Filled): FormPage {
  const place = { action: '/people/plots/new', back: '/people', another: true }
  return { title: 'people.plot.title', form: PlotForm, filled, ...place }
}

function detailPage(plot: Plot, filled: Filled): FormPage {
  return aboutPlot(plot, 'people.plot.detail-title', { form: PlotDetailForm, filled, action: 'change' })
}

function holdersPage(plot: Plot, filled: Filled): FormPage {
  return aboutPlot(plot, 'people.plot.holders-title', { form: HoldersForm, filled, action: 'change?as=holders' })
}

function aboutPlot(plot: Plot, title: string, shown: Pick<FormPage, 'form' | 'filled' | 'action'>): FormPage {
  const place = `/people/plots/${plot.id}`
  return { ...shown, title, titleValues: { number: plot.number }, action: `${place}/${shown.action}`, back: place }
}

function receivedPage(filled: Filled): FormPage {
  const form = ReceivedBeforeForm
  return {
    title: 'people.received-before.title',
    form,
    filled,
    action: '/people/settle/received-before',
    back: '/people',
  }
}
