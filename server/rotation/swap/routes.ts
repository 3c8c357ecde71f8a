import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { weekStartOf } from '../../../domain/calendar.ts'
import { may as mayDo } from '../../../domain/people/permissions.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { optional, select } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { callableFrom } from '../clock.ts'
import { standingWeek } from '../outcome/standing-week.ts'
import { type BookedTurn, turnInBook } from '../published/turn-store.ts'
import { laidSwap, writeSwap } from './agreed.ts'
import { addConsent, addSwap, PAYERS, type Swap, swapsSince } from './store.ts'

const SwapForm = defineForm('day.swap', {
  otherTurnId: optional(select()),
  toPlotId: optional(select()),
  payer: select(PAYERS),
})

type WithId = { Params: { id: string } }

/** Swaps and gifts between two plots: nothing moves before both have agreed. */
export function addSwapRoutes(app: FastifyInstance, { db, now }: Parts): void {
  const guard = { preHandler: may('water.request') }

  app.get('/swaps', { preHandler: may('turns.see') }, async (request, reply) => {
    const { today } = request.visit
    const swaps = await swapsSince(db, weekStartOf(today, found(await currentGroup(db)).firstWeekday))
    const plots = await listPlots(db, today)
    const shown = []
    for (const swap of swaps) {
      const turn = (await turnInBook(db, swap.turnId))?.turn
      const other = swap.otherTurnId ? (await turnInBook(db, swap.otherTurnId))?.turn : undefined
      const partners = [turn?.plotId, swap.toPlotId].map((id) => plots.find((plot) => plot.id === id))
      const waiting = partners.filter((plot) => plot && !swap.consents.some((one) => one.plotId === plot.id))
      const mayAgree = (plot: (typeof plots)[number]) => isAttending(request) || holds(request, plot)
      shown.push({
        swap,
        turn,
        other,
        to: partners[1],
        waiting: waiting.map((plot) => ({ plot, mayAgree: mayAgree(plot!) })),
      })
    }
    return page({ request, reply }, 'rotation/swaps', { title: 'day.swaps-title', swaps: shown })
  })

  app.get<WithId>('/:id/swaps/new', guard, async (request, reply) =>
    show(request, reply, await ownTurn(request), emptyForm({ payer: 'taker' })),
  )

  app.post<WithId>('/:id/swaps', guard, async (request, reply) => {
    const turn = await ownTurn(request)
    const form = readForm(SwapForm, request.body)
    if (!form.ok) return show(request, reply, turn, form)
    const { otherTurnId, toPlotId, payer } = form.data
    if ((otherTurnId === null) === (toPlotId === null)) {
      return show(request, reply, turn, withError(form, 'otherTurnId', 'day.swap-one-of-two'))
    }
    const weekStartOn = weekStartOf(turn.on, found(await currentGroup(db)).firstWeekday)
    const other = otherTurnId ? (await turnInBook(db, otherTurnId))?.turn : undefined
    const partnerId = other?.plotId ?? toPlotId ?? ''
    const field = otherTurnId ? 'otherTurnId' : 'toPlotId'
    if (partnerId === turn.plotId || (otherTurnId && (!other || isOver(request, other)))) {
      return show(request, reply, turn, withError(form, field, 'error.choose'))
    }
    const swap = { weekStartOn, turnId: turn.bookId, otherTurnId, toPlotId: partnerId, payer }
    const laid = await laidSwap(db, swap)
    if ('refusal' in laid) return show(request, reply, turn, withError(form, field, `day.swap-${laid.refusal}`))
    const plot = (await listPlots(db, turn.on)).find((one) => one.id === turn.plotId)
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        const swapId = await addSwap(pen, swap)
        const self = plot?.holders.find((holder) => holder.id === pen.writtenBy)
        if (plot && self) await addConsent(pen, { swapId, plotId: plot.id, personId: self.id })
      },
      () => '/turns/swaps',
    )
  })

  app.post<WithId & { Body: { plotId?: string } }>('/swaps/:id/consents', guard, async (request, reply) => {
    const plots = await listPlots(db, request.visit.today)
    const plot = found(plots.find((one) => one.id === request.body?.plotId))
    if (!isAttending(request) && !holds(request, plot)) throw new PageError(403, 'error.page-403')
    const personId = holds(request, plot) ? request.person!.id : found(plot.holders[0]?.id)
    const { t } = request.visit.locale
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        const swap = found((await swapsSince(pen.trx, '0001-01-01')).find((one) => one.id === request.params.id))
        const partners = await partnersOf(pen.trx, swap)
        if (!partners.includes(plot.id)) throw new PageError(403, 'error.page-403')
        const agreed = new Set(swap.consents.map((one) => one.plotId))
        if (agreed.has(plot.id)) throw new PageError(409, 'day.swap-agreed-already')
        await addConsent(pen, { swapId: swap.id, plotId: plot.id, personId })
        agreed.add(plot.id)
        if (!partners.every((id) => agreed.has(id))) return
        const laid = await laidSwap(pen.trx, swap)
        if ('refusal' in laid) throw new PageError(409, `day.swap-${laid.refusal}`)
        const reason = t(`day.swap-reason-${swap.otherTurnId ? 'swap' : 'gift'}-${swap.payer}`)
        await writeSwap(pen, swap, laid.turns, reason)
      },
      () => '/turns/swaps',
    )
  })

  async function partnersOf(book: typeof db, swap: Swap): Promise<string[]> {
    const { turn } = found(await turnInBook(book, swap.turnId))
    return [turn.plotId, swap.toPlotId]
  }

  /** A turn to come of an own plot, or any for whoever attends. */
  async function ownTurn(request: FastifyRequest): Promise<BookedTurn> {
    const { turn } = found(await turnInBook(db, (request.params as { id: string }).id))
    if (turn.droppedBy) throw new PageError(409, 'day.turn-gone')
    if (turn.on < request.visit.today) throw new PageError(409, 'day.not-beforehand')
    const plot = (await listPlots(db, turn.on)).find((one) => one.id === turn.plotId)
    if (!isAttending(request) && !(plot && holds(request, plot))) throw new PageError(403, 'error.page-403')
    return turn
  }

  /** Nobody can be called any more to a turn that has ended. */
  function isOver({ visit: { today, group } }: FastifyRequest, { on, endMinute }: BookedTurn): boolean {
    const timeZone = group?.timeZone ?? 'UTC'
    return on < today || (on === today && endMinute <= callableFrom({ on, today, now: now(), timeZone }))
  }

  async function show(request: FastifyRequest, reply: FastifyReply, turn: BookedTurn, filled: Filled) {
    const { format } = request.visit
    const week = await standingWeek(db, weekStartOf(turn.on, found(await currentGroup(db)).firstWeekday))
    const others = (week?.standing ?? []).filter((one) => one.plotId !== turn.plotId && !isOver(request, one))
    const named = (one: BookedTurn) =>
      `${format.weekday(one.on)} ${format.clock(one.startMinute)}, ${one.plot?.number ?? ''} ${one.plot?.holders.join(', ') ?? ''}`
    return formPage(
      { request, reply },
      {
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
          toPlotId: (week?.inputs.plots ?? [])
            .filter((plot) => plot.id !== turn.plotId)
            .map((plot) => ({ value: plot.id, label: `${plot.number} ${plot.holders.join(', ')}` })),
        },
        action: `/turns/${turn.bookId}/swaps`,
        intro: ['day.swap.intro'],
        back: `/turns/days/${turn.on}`,
      },
    )
  }
}

function holds({ person }: FastifyRequest, { holders }: { holders: readonly { id: string }[] }): boolean {
  return holders.some((holder) => holder.id === person?.id)
}

function isAttending({ person }: FastifyRequest): boolean {
  return mayDo({ roles: person?.roles ?? [], permission: 'abstraction.log' })
}
