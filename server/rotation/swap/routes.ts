import type { Id } from '../../../domain/id.ts'
import { weekStartOf } from '../../../domain/weeks.ts'
import { askedSentence } from '../../book/asked/fields.ts'
import { askedFacts, askedThroughOf } from '../../book/asked/store.ts'
import type { Pen } from '../../book/entries.ts'
import { approve } from '../../book/names/approvals.ts'
import { householdHolds } from '../../book/names/household.ts'
import { write } from '../../book/pen.ts'
import type { Database } from '../../database/connection.ts'
import { askOthersMark, marksOfOthers } from '../../people/plot/co-holder-state.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { callableFrom } from '../clock.ts'
import { standingWeek } from '../outcome/standing-week.ts'
import { isHeldBy, maySpeakFor } from '../plots.ts'
import { type BookedTurn, turnInBook } from '../published/turn-store.ts'
import { addConsent, GIVEN, swapOfConsent } from './consent-store.ts'
import { SwapForm } from './forms.ts'
import { addSwap, laidSwap, type Swap, swapsSince, writeSwap } from './store.ts'

/** Swaps and gifts between two plots: nothing moves before both have agreed. */
export function addSwapPages({ get, post }: Pages): void {
  get('/turns/asked?as=swaps', 'turns.see', showSwaps)
  get('/turns/:id/otherwise?as=swap', 'water.request', newSwap)
  post('/turns/:id/otherwise?as=swap', 'water.request', proposeSwap)
  post('/turns/asked/swaps/:id', 'water.request', writeConsent)
  post('/turns/names/swap/:id', 'water.request', nameConsent)
}

async function showSwaps(desk: Desk) {
  const { db, today, group } = desk
  const swaps = await swapsSince(db, weekStartOf(today, group))
  const plots = await listPlots(db, today)
  const shown = []
  const through = await askedThroughOf(
    db,
    swaps.map(({ id }) => id),
  )
  for (const swap of swaps) {
    const how = askedSentence(desk.t, through.get(swap.id))
    shown.push({ ...(await swapLine(desk, swap, plots)), how })
  }
  return page(desk, 'rotation/swaps', { title: 'day.swaps-title', swaps: shown })
}

async function swapLine(desk: Desk, swap: Swap, plots: readonly Plot[]) {
  const turn = (await turnInBook(desk.db, swap.turnId))?.turn
  const other = swap.otherTurnId ? (await turnInBook(desk.db, swap.otherTurnId))?.turn : undefined
  const byId = new Map(plots.map((plot) => [plot.id, plot]))
  const [from, to] = [turn && byId.get(turn.plotId), byId.get(swap.toPlotId)]
  const silent = [from, to].flatMap((plot) => (plot && !saidFor(swap, plot.id) ? [plot] : []))
  const unnamed = []
  for (const one of [...swap.waiting, ...swap.declined]) unnamed.push({ ...one, names: await namesShown(desk, one.id) })
  const waiting = silent.map((plot) => ({
    plot,
    mayAgree: maySpeakFor(desk, plot),
    forAnother: !isHeldBy(plot, desk.person.id),
  }))
  return { swap, turn, other, to, waiting, unnamed }
}

async function newSwap(desk: Desk<'id'>) {
  const past = (await turnInBook(desk.db, desk.params.id))?.turn
  // The way stands beside the others of the same turn, also once its day is over: its own page then says what became of it.
  if (past && past.on < desk.today) return desk.reply.redirect(`/turns/${past.bookId}`, 303)
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
  const weekStartOn = weekStartOf(turn.on, group)
  const swap = { weekStartOn, turnId: turn.bookId, otherTurnId, toPlotId: partnerId, payer }
  const laid = await laidSwap(db, swap)
  if ('refusal' in laid) return show(desk, turn, withError(form, field, `day.swap-${laid.refusal}`))
  const plot = (await listPlots(db, turn.on)).find((one) => one.id === turn.plotId)
  const marks = marksOfOthers(desk, plot)
  if (marks === null) return askOthersMark(desk, plot, `/log/days/${turn.on}`)
  return write(
    desk,
    async (pen) => {
      const swapId = await addSwap(pen, swap, askedFacts(form.data))
      if (plot && isHeldBy(plot, pen.writtenBy)) {
        const own = { swapId, plotId: plot.id, personId: pen.writtenBy }
        await addConsent(pen, { ...own, given: null, needsName: false, marks })
      }
    },
    () => '/turns/asked?as=swaps',
  )
}

async function writeConsent(desk: Desk<'id'>) {
  const { db, today, person } = desk
  const plot = found((await listPlots(db, today)).find((one) => one.id === desk.posted('plotId')))
  if (!maySpeakFor(desk, plot)) throw new PageError(403, 'error.page-403')
  const isOwn = isHeldBy(plot, person.id)
  const given = GIVEN.find((one) => one === desk.posted('given')) ?? null
  if (!isOwn && given === null) throw new PageError(409, 'day.swap-how-given')
  const marks = marksOfOthers(desk, plot)
  if (marks === null) return askOthersMark(desk, plot, '/turns/asked?as=swaps')
  const personId = isOwn ? person.id : found(plot.holders[0]?.id)
  return write(
    desk,
    (pen) => consent(pen, desk, { plotId: plot.id, personId, given: isOwn ? null : given, marks }),
    () => '/turns/asked?as=swaps',
  )
}

/** One of the two agrees; when both have, the swap is written into the list. */
async function consent(
  pen: Pen,
  { params, today, t }: Desk<'id'>,
  said: Omit<Parameters<typeof addConsent>[1], 'swapId' | 'needsName'>,
) {
  const swap = await swapOr404(pen.trx, params.id)
  const partners = await partnersOf(pen.trx, swap)
  if (!partners.includes(said.plotId)) throw new PageError(403, 'error.page-403')
  if (saidFor(swap, said.plotId)) throw new PageError(409, 'day.swap-agreed-already')
  const gains = partners.filter((id) => id !== said.plotId)
  const forAnother = said.given !== null
  const saidBoth = swap.consents.some(({ writerId, given }) => writerId === pen.writtenBy && given !== null)
  const needsName =
    forAnother && (saidBoth || (await householdHolds(pen.trx, pen.writtenBy, { plotIds: gains, on: today })))
  await addConsent(pen, { ...said, swapId: swap.id, needsName })
  await writeOnceAgreed(pen, swap.id, t)
}

/** A second name under a consent that somebody wrote in for another and gains by. */
async function nameConsent(desk: Desk<'id'>) {
  const { id } = desk.params
  const { swapId, plotId } = found(await swapOfConsent(desk.db, id))
  const plot = found((await listPlots(desk.db, desk.today)).find((one) => one.id === plotId))
  if (!maySpeakFor(desk, plot)) throw new PageError(403, 'error.page-403')
  return write(
    desk,
    async (pen) => {
      await approve(pen, id)
      await writeOnceAgreed(pen, swapId, desk.t)
    },
    () => '/turns/asked?as=swaps',
  )
}

function saidFor({ consents, waiting, declined }: Swap, plotId: Id<'plot'>): boolean {
  return [...consents, ...waiting, ...declined].some((one) => one.plotId === plotId)
}

async function swapOr404(db: Database, id: string): Promise<Swap> {
  return found((await swapsSince(db, '0001-01-01')).find((one) => one.id === id))
}

async function partnersOf(db: Database, swap: Swap): Promise<Id<'plot'>[]> {
  return [found(await turnInBook(db, swap.turnId)).turn.plotId, swap.toPlotId]
}

/** When both have agreed, by themselves or with a second name, the swap is written into the list. */
async function writeOnceAgreed(pen: Pen, swapId: string, t: Desk['t']): Promise<void> {
  const swap = await swapOr404(pen.trx, swapId)
  const partners = await partnersOf(pen.trx, swap)
  if (!partners.every((id) => swap.consents.some(({ plotId }) => plotId === id))) return
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

/** Nobody can be called any more to a turn that has ended. */
function isOver({ today, at: now, timeZone }: Desk, { on, endMinute }: BookedTurn): boolean {
  return on < today || (on === today && endMinute <= callableFrom({ on, today, now, timeZone }))
}

async function show(desk: Desk, turn: BookedTurn, filled: Filled) {
  const { format } = desk
  const week = await standingWeek(desk.db, weekStartOf(turn.on, desk.group))
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
    action: `/turns/${turn.bookId}/otherwise?as=swap`,
    intro: ['day.swap.intro'],
    beside: { href: '/turns/asked?as=swaps', words: 'day.swaps-title' },
    back: `/log/days/${turn.on}`,
  })
}
