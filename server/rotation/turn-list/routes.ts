import { addDays } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { type PauseCause, turnList } from '../../../domain/rotation/turn-list.ts'
import { write } from '../../book/pen.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { listPumps, type Pump } from '../../works/pump/store.ts'
import { PauseForm, TurnListForm } from './forms.ts'
import { servedBefore } from './next.ts'
import { addPause, addServed, addTurnList, openPause, pausesOf, type TurnList, turnListOn } from './store.ts'

const DAYS_SHOWN = 14

/** Turns by list, for pumps whose group takes turns name by name. */
export function addTurnListPages({ get, post }: Pages): void {
  get('/turns/lists', 'turns.see', showLists)
  get('/turns/lists/:pumpId', 'turns.see', showList)
  get('/turns/settle/list/:pumpId', 'week.publish', newList)
  post('/turns/settle/list/:pumpId', 'week.publish', writeList)
  post('/turns/lists/:pumpId/had', 'abstraction.log', writeServed)
  get('/turns/settle/pause/:pumpId', 'abstraction.log', newPause)
  post('/turns/settle/pause/:pumpId', 'abstraction.log', writePause)
  post('/turns/lists/:pumpId/goes-on', 'abstraction.log', writeResumption)
}

async function showLists(desk: Desk) {
  const pumps = await listPumps(desk.db, desk.today)
  return page(desk, 'rotation/turn-list/list', { title: 'day.lists-title', pumps })
}

async function showList(desk: Desk<'pumpId'>) {
  const { db, today } = desk
  const pump = await pumpOr404(desk)
  const list = await turnListOn(db, pump.id, today)
  const plots = await listPlots(db, today)
  const named = (id: string) => plots.find((plot) => plot.id === id)
  const next = list ? await nextTurns(desk, pump, list) : { order: [], days: [] }
  return page(desk, 'rotation/turn-list/page', {
    title: 'day.list-title',
    titleValues: { number: pump.number, name: pump.name },
    pump,
    list: list ?? null,
    order: next.order.map(named).filter((plot) => plot !== undefined),
    days: next.days.map((day) => ({ ...day, plots: day.names.map(named) })),
    openPause: (await openPause(db, pump.id)) ?? null,
  })
}

/** The list from today on, with everything served until tonight. */
async function nextTurns({ db, today }: Desk, { id: pumpId }: Pump, { plotIds, perDay, fromOn }: TurnList) {
  const tomorrow = addDays(today, 1)
  return turnList({
    names: plotIds,
    perDay,
    served: await servedBefore(db, { pumpId, fromOn, on: tomorrow, today: tomorrow }),
    pauses: await pausesOf(db, pumpId),
    fromOn: today,
    days: DAYS_SHOWN,
  })
}

async function newList(desk: Desk<'pumpId'>) {
  const { db, today } = desk
  const pump = await pumpOr404(desk)
  const list = await turnListOn(db, pump.id, today)
  const plots = await listPlots(db, today)
  const numbers = (list?.plotIds ?? []).map((id) => plots.find((plot) => plot.id === id)?.number ?? '')
  const typed = { fromOn: today, perDay: String(list?.perDay ?? 3), plots: numbers.join('\n') }
  return showListForm(desk, pump, emptyForm(typed))
}

async function writeList(desk: Desk<'pumpId'>) {
  const pump = await pumpOr404(desk)
  const form = readForm(TurnListForm, desk.body)
  if (!form.ok) return showListForm(desk, pump, form)
  const { fromOn, perDay } = form.data
  const read = plotsOfLines(form.data.plots, await listPlots(desk.db, fromOn))
  if ('wrong' in read) {
    return showListForm(desk, pump, withError(form, 'plots', `day.list-${read.why}`, { number: read.wrong }))
  }
  return write(
    desk,
    (pen) => addTurnList(pen, { pumpId: pump.id, fromOn, perDay, plotIds: read.plotIds }),
    () => `/turns/lists/${pump.id}`,
  )
}

/** Plot numbers, one a line or with commas, in the order of the list. */
function plotsOfLines(
  typed: string,
  plots: readonly Plot[],
): { plotIds: Id<'plot'>[] } | { wrong: string; why: 'no-such-plot' | 'plot-twice' } {
  const plotIds: Id<'plot'>[] = []
  for (const number of typed.split(/[\s,;]+/).filter(Boolean)) {
    const plot = plots.find((one) => String(one.number) === number)
    if (!plot) return { wrong: number, why: 'no-such-plot' }
    if (plotIds.includes(plot.id)) return { wrong: number, why: 'plot-twice' }
    plotIds.push(plot.id)
  }
  return { plotIds }
}

async function writeServed(desk: Desk<'pumpId'>) {
  const { db, today } = desk
  const pump = await pumpOr404(desk)
  const list = found(await turnListOn(db, pump.id, today))
  const plotId = found(list.plotIds.find((id) => id === desk.posted('plotId')))
  return write(
    desk,
    (pen) => addServed(pen, { pumpId: pump.id, plotId, on: today }),
    () => `/turns/lists/${pump.id}`,
  )
}

async function newPause(desk: Desk<'pumpId'>) {
  return showPauseForm(desk, await pumpOr404(desk), emptyForm({ fromOn: desk.today }))
}

async function writePause(desk: Desk<'pumpId'>) {
  const pump = await pumpOr404(desk)
  const form = readForm(PauseForm, desk.body)
  if (!form.ok) return showPauseForm(desk, pump, form)
  const { fromOn, untilOn } = form.data
  if (untilOn !== null && untilOn < fromOn) {
    return showPauseForm(desk, pump, withError(form, 'untilOn', 'day.pause-ends-early'))
  }
  return write(
    desk,
    (pen) => addPause(pen, pump.id, form.data, null),
    () => `/turns/lists/${pump.id}`,
  )
}

/** The list goes on today: the pause ended yesterday, or on its own first day. */
async function writeResumption(desk: Desk<'pumpId'>) {
  const pump = await pumpOr404(desk)
  const open = await openPause(desk.db, pump.id)
  if (!open) throw new PageError(409, 'day.not-paused')
  const untilOn = [addDays(desk.today, -1), open.fromOn].sort().at(-1)!
  const pause = { fromOn: open.fromOn, untilOn, cause: open.cause as PauseCause, words: open.words }
  return write(
    desk,
    (pen) => addPause(pen, pump.id, pause, open.id),
    () => `/turns/lists/${pump.id}`,
  )
}

async function pumpOr404({ db, today, params }: Desk<'pumpId'>): Promise<Pump> {
  return found((await listPumps(db, today)).find((pump) => pump.id === params.pumpId))
}

function showListForm(desk: Desk, { id, number, name }: Pump, filled: Filled) {
  return formPage(desk, {
    title: 'day.list.title',
    titleValues: { number, name },
    form: TurnListForm,
    filled,
    action: `/turns/settle/list/${id}`,
    intro: ['day.list.intro'],
    back: `/turns/lists/${id}`,
  })
}

function showPauseForm(desk: Desk, { id, number, name }: Pump, filled: Filled) {
  return formPage(desk, {
    title: 'day.pause.title',
    titleValues: { number, name },
    form: PauseForm,
    filled,
    action: `/turns/settle/pause/${id}`,
    intro: ['day.pause.intro'],
    back: `/turns/lists/${id}`,
  })
}
