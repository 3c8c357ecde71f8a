import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { InputError } from '../../../domain/input-error.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { reserveMoveForm } from './forms.ts'
import { askReserveMove, heldIn, listReserveMoves, moveReserve, type ReserveMove } from './reserve-store.ts'

type WithId = { Params: { id: string } }

/** The reserve for the pump: put by or taken out with two names, and all of it in one list. */
export function addReserveRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/reserve-moves', { preHandler: may('voucher.see') }, async (request, reply) =>
    page({ request, reply }, 'fees/voucher/reserve-moves', {
      title: 'money.reserve-moves-title',
      held: moneyWords(request.visit).money(await heldIn(db, 'reserve')),
      moves: (await listReserveMoves(db)).toReversed().map((move) => moveShown(request, move)),
    }),
  )

  app.get('/reserve-moves/new', { preHandler: may('payment.record') }, async (request, reply) =>
    showForm(request, reply, emptyForm({ way: 'in', column: 'cash' })),
  )

  app.post('/reserve-moves', { preHandler: may('payment.record') }, async (request, reply) => {
    const form = readForm(reserveMoveForm(moneyWords(request.visit).currency), request.body)
    if (!form.ok) return showForm(request, reply, form)
    const { way, column, amount, words } = form.data
    if ((await heldIn(db, way === 'in' ? column : 'reserve')) < amount) {
      return showForm(request, reply, withError(form, 'amount', 'money.move.not-enough'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => askReserveMove(pen, { way, column, amountMinor: amount, words }),
      (id) => `/money/reserve-moves/${id}`,
    )
  })

  app.get<WithId>('/reserve-moves/:id', { preHandler: may('voucher.see') }, async (request, reply) => {
    const move = await moveOf(request)
    return page({ request, reply }, 'fees/voucher/reserve-move', {
      title: `money.reserve-move.heading-${move.way}`,
      move: moveShown(request, move),
      hindrance: hindrance(request, move),
    })
  })

  app.post<WithId>('/reserve-moves/:id/approval', { preHandler: may('voucher.approve') }, async (request, reply) => {
    const move = await moveOf(request)
    const why = hindrance(request, move)
    if (why) throw new PageError(409, why)
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        try {
          await moveReserve(pen, { id: move.id, onDate: request.visit.today })
        } catch (error) {
          if (!(error instanceof InputError)) throw error
          throw new PageError(409, error.code === 'not-enough-held' ? 'money.move.not-enough' : 'error.page-409')
        }
      },
      () => `/money/reserve-moves/${move.id}`,
    )
  })

  async function moveOf(request: FastifyRequest): Promise<ReserveMove> {
    const { id } = request.params as { id: string }
    return found((await listReserveMoves(db)).find((move) => move.id === id))
  }

  function showForm(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    return formPage(
      { request, reply },
      {
        title: 'money.reserve-move.title',
        form: reserveMoveForm(moneyWords(request.visit).currency),
        filled,
        action: '/money/reserve-moves',
        intro: ['money.reserve-move.intro'],
        back: '/money/reserve-moves',
      },
    )
  }
}

/** Why this visitor cannot put the second name; null when nothing is in the way. */
function hindrance(request: FastifyRequest, move: ReserveMove): string | null {
  if (move.approval) return 'money.reserve-move.moved'
  return move.writerId === request.person!.id ? 'money.reserve-move.own' : null
}

function moveShown(request: FastifyRequest, move: ReserveMove) {
  const { format, locale } = request.visit
  const { id, way, column, words, approval, transfer } = move
  const signed = (name: string, at: string) => locale.t('money.signed', { name, when: format.instant(at) })
  return {
    id,
    amount: moneyWords(request.visit).money(move.amountMinor),
    what: locale.t(`money.reserve-move.${way}`, { column: locale.t(`fees.payment.column.${column}`) }),
    words,
    writer: signed(move.writerName, move.writtenAt),
    second: approval && signed(approval.approverName, approval.approvedAt),
    on: transfer && format.date(transfer.on),
  }
}
