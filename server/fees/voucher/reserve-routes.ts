import { InputError } from '../../../domain/input-error.ts'
import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { heldIn } from '../ledger/cash-store.ts'
import { secondName, signed } from '../signed.ts'
import { reserveMoveForm } from './forms.ts'
import { askReserveMove, listReserveMoves, moveReserve, type ReserveMove } from './reserve-store.ts'

/** The reserve for the pump: put by or taken out with two names, and all of it in one list. */
export function addReservePages({ get, post }: Pages): void {
  get('/money/move?as=pump', 'payment.record', newReserveMove)
  post('/money/move?as=pump', 'payment.record', writeReserveMove)
  get('/money/names/move/:id', 'voucher.see', showReserveMove)
  post('/money/names/move/:id', 'voucher.approve', approveReserveMove)
}

/** What was put by for the pump and taken out, the last first, for the page of what is held. */
export async function reserveShown(desk: Desk) {
  const { inRow, money } = moneyWords(desk)
  return {
    held: money(await heldIn(desk.db, 'reserve')),
    moves: (await listReserveMoves(desk.db)).toReversed().map((move) => moveShown(desk, move, inRow)),
  }
}

async function newReserveMove(desk: Desk) {
  return showForm(desk, emptyForm({ way: 'in', column: 'cash' }))
}

async function writeReserveMove(desk: Desk) {
  const form = readForm(reserveMoveForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showForm(desk, form)
  const { way, column, amount, words } = form.data
  if ((await heldIn(desk.db, way === 'in' ? column : 'reserve')) < amount) {
    return showForm(desk, withError(form, 'amount', 'other-money.move.not-enough'))
  }
  return write(
    desk,
    (pen) => askReserveMove(pen, { way, column, amountMinor: amount, words }),
    (id) => `/money/names/move/${id}`,
  )
}

async function showReserveMove(desk: Desk<'id'>) {
  const move = await moveOf(desk)
  return page(desk, 'fees/voucher/reserve-move', {
    title: `vouchers.reserve-move.heading-${move.way}`,
    move: moveShown(desk, move),
    names: await namesShown(desk, move.id),
  })
}

async function approveReserveMove(desk: Desk<'id'>) {
  const move = await moveOf(desk)
  return write(
    desk,
    async (pen) => {
      try {
        await moveReserve(pen, { id: move.id, onDate: desk.today })
      } catch (error) {
        if (!(error instanceof InputError) || error.code !== 'not-enough-held') throw error
        throw new PageError(409, 'other-money.move.not-enough')
      }
    },
    () => `/money/names/move/${move.id}`,
  )
}

async function moveOf(desk: Desk<'id'>): Promise<ReserveMove> {
  const { id } = desk.params
  return found((await listReserveMoves(desk.db)).find((move) => move.id === id))
}

function showForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'vouchers.reserve-move.title',
    form: reserveMoveForm(moneyWords(desk).currency),
    filled,
    action: '/money/move?as=pump',
    intro: ['vouchers.reserve-move.intro'],
    back: '/money/held?open=pump#pump',
  })
}

function moveShown(desk: Desk, move: ReserveMove, shown = moneyWords(desk).money) {
  const { format, locale } = desk
  const { id, way, column, words, approval, transfer } = move
  return {
    id,
    amount: shown(move.amountMinor),
    what: locale.t(`vouchers.reserve-move.${way}`, { column: locale.t(`fees.payment.column.${column}`) }),
    words,
    writer: signed(desk, move.writerName, move.writtenAt),
    second: secondName(desk, approval),
    on: transfer && format.date(transfer.on),
  }
}
