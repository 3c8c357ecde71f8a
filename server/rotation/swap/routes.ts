import { weekStartOf } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Pen } from '../../book/entries.ts'
import { write } from '../../book/pen.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { callableFrom } from '../clock.ts'
import { standingWeek } from '../outcome/standing-week.ts'
import { isHeldBy } from '../plots.ts'
import { type BookedTurn, turnInBook } from '../published/turn-store.ts'
import { SwapForm } from './forms.ts'
import { addConsent, addSwap, laidSwap, type Swap, swapsSince, writeSwap } from './store.ts'

/** Swaps and gifts between two plots: nothing moves before both have agreed. */
export function addSwapPages({ get, post }: Pages): void {
  get('/swaps', 'turns.see', showSwaps)
  get('/:id/swaps/new', 'water.request', newSwap)
  post('/:id/swaps', 'water.request', proposeSwap)
  post('/swaps/:id/consents', 'water.request', writeConsent)
}

async function showSwaps(desk: Desk) {
  const { db, today, group } = desk
  const swaps = await swapsSince(db, weekStartOf(today, group.firstWeekday))
  const plots = await listPlots(db, today)
  const shown = []
  for (const swap of swaps) shown.push(await swapLine(desk, swap, plots))
  return page(desk, 'rotation/swaps', { title: 'day.swaps-title', swaps: shown })
}

async function swapLine(desk: Desk, swap: Swap, plots: readonly Plot[]) {
  const turn = (await turnInBook(desk.db, swap.turnId))?.turn
  const other = swap.otherTurnId ? (await turnInBook(desk.db, swap.otherTurnId))?.turn : undefined
  const byId = new Map(plots.map((plot) => [plot.id, plot]))
  const [from, to] = [turn && byId.get(turn.plotId), byId.get(swap.toPlotId)]
  const waiting = [from, to].filter((plot) => plot && !swap.consents.some((one) => one.plotId === plot.id))
  return { swap, turn, other, to, waiting: waiting.map((plot) => ({ plot, mayAgree: maySpeakFor(desk, plot!) })) }
}

async function newSwap(desk: Desk<'id'>) {
  return show(desk, await ownTurn(desk), emptyForm({ payer: 'taker' }))
}

async function proposeSwap(desk: Desk<'id'>) {
  const { db, group } = desk
  const turn = await ownTurn(desk)
  const form = readForm(SwapForm, desk.body)
  if (!form.ok) return show(desk, turn, form)
  const { otherTurnId, toPlotId, payer } = form.data
  if ((otherTurnId === null) === (toPlotId === null)) {
    return show(desk, turn, withError(form, 'otherTurnId', 'day.swap-one-of-two'))
  }
  const field = otherTurnId ? 'otherTurnId' : 'toPlotId'
  const other = otherTurnId ? (await turnInBook(db, otherTurnId))?.turn : undefined
  const partnerId = other?.plotId ?? toPlotId ?? ''
  if (partnerId === turn.plotId || (otherTurnId && (!other || isOver(desk, other)))) {
    return show(desk, turn, withError(form, field, 'error.choose'))
  }
  const weekStartOn = weekStartOf(turn.on, group.firstWeekday)
  const swap = { weekStartOn, turnId: turn.bookId, otherTurnId, toPlotId: partnerId, payer }
  const laid = await laidSwap(db, swap)
  if ('refusal' in laid) return show(desk, turn, withError(form, field, `day.swap-${laid.refusal}`))
  const plot = (await listPlots(db, turn.on)).find((one) => one.id === turn.plotId)
  return write(
    desk,
    async (pen) => {
      const swapId = await addSwap(pen, swap)
      if (plot && isHeldBy(plot, pen.writtenBy)) {
        await addConsent(pen, { swapId, plotId: plot.id, personId: pen.writtenBy })
      }
    },
    () => '/turns/swaps',
  )
}

async function writeConsent(desk: Desk<'id'>) {
  const { db, today, person } = desk
  const plot = found((await listPlots(db, today)).find((one) => one.id === desk.posted('plotId')))
  if (!maySpeakFor(desk, plot)) throw new PageError(403, 'error.page-403')
  const personId = isHeldBy(plot, person.id) ? person.id : found(plot.holders[0]?.id)
  return write(
    desk,
    (pen) => consent(pen, desk, { plotId: plot.id, personId }),
    () => '/turns/swaps',
  )
}

/** One of the two agrees; when both have, the swap is written into the list. */
async function consent(
  pen: Pen,
  { params, t }: Desk<'id'>,
  { plotId, personId }: { plotId: Id<'plot'>; personId: Id<'person'> },
) {
  const swap = found((await swapsSince(pen.trx, '0001-01-01')).find((one) => one.id === params.id))
  const { turn } = found(await turnInBook(pen.trx, swap.turnId))
  const partners = [turn.plotId, swap.toPlotId]
  if (!partners.includes(plotId)) throw new PageError(403, 'error.page-403')
  const agreed = new Set(swap.consents.map((one) => one.plotId))
  if (agreed.has(plotId)) throw new PageError(409, 'day.swap-agreed-already')
  await addConsent(pen, { swapId: swap.id, plotId, personId })
  agreed.add(plotId)
  if (!partners.every((id) => agreed.has(id))) return
  const laid = await laidSwap(pen.trx, swap)
  if ('refusal' in laid) throw new PageError(409, `day.swap-${laid.refusal}`)
  const reason = t(`day.swap-reason-${swap.otherTurnId ? 'swap' : 'gift'}-${swap.payer}`)
  await writeSwap(pen, swap, laid.turns, reason)
}

/** A turn to come of an own plot, or any for whoever attends. */
async function ownTurn(desk: Desk<'id'>): Promise<BookedTurn> {
  const { turn } = found(await turnInBook(desk.db, desk.params.id))
  if (turn.droppedBy) throw new PageError(409, 'day.turn-gone')
  if (turn.on < desk.today) throw new PageError(409, 'day.not-beforehand')
  const plot = (await listPlots(desk.db, turn.on)).find((one) => one.id === turn.plotId)
  if (!maySpeakFor(desk, plot)) throw new PageError(403, 'error.page-403')
  return turn
}

/** Whoever attends speaks for every plot, a holder for an own one. */
function maySpeakFor({ person, may }: Desk, plot: Plot | undefined): boolean {
  return may('abstraction.log') || (plot !== undefined && isHeldBy(plot, person.id))
}

/** Nobody can be called any more to a turn that has ended. */
function isOver({ today, at: now, timeZone }: Desk, { on, endMinute }: BookedTurn): boolean {
  return on < today || (on === today && endMinute <= callableFrom({ on, today, now, timeZone }))
}

async function show(desk: Desk, turn: BookedTurn, filled: Filled) {
  const { format } = desk
  const week = await standingWeek(desk.db, weekStartOf(turn.on, desk.group.firstWeekday))
  const others = (week?.standing ?? []).filter((one) => one.plotId !== turn.plotId && !isOver(desk, one))
  const plots = (week?.inputs.plots ?? []).filter((plot) => plot.id !== turn.plotId)
  const named = ({ on, startMinute, plot }: BookedTurn) =>
    `${format.weekday(on)} ${format.clock(startMinute)}, ${plot?.number ?? ''} ${plot?.holders.join(', ') ?? ''}`
  return formPage(desk, {
    title: 'day.swap.title',
    titleValues: {
      plot: turn.plot?.number ?? '',
      day: format.weekday(turn.on),
      from: format.clock(turn.startMinute),
    },
    form: SwapForm,
    filled,
    options: {
      otherTurnId: others.map((one) => ({ value: one.bookId, label: named(one) })),
      toPlotId: plots.map((plot) => ({ value: plot.id, label: `${plot.number} ${plot.holders.join(', ')}` })),
    },
    action: `/turns/${turn.bookId}/swaps`,
    intro: ['day.swap.intro'],
    back: `/turns/days/${turn.on}`,
  })
}
