import type { FastifyInstance, FastifyRequest } from 'fastify'
import type { Parts } from '../../parts.ts'
import { listPersons } from '../../people/person/store.ts'
import { sendCsv, writeCsv } from '../../web/figures/csv.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, readForm } from '../../web/forms/forms.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { turnsOfTransfers } from '../charge/missed-turns.ts'
import { SpanForm } from '../forms.ts'
import { HELD_COLUMNS, type HeldColumn, listAccounts } from '../ledger/account-store.ts'
import { listTransfers, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { listReceiptBooks } from '../receipt/book-store.ts'
import { receiptKey } from '../receipt/store.ts'
import { type CashLine, cashBook } from './book.ts'

/** The cash book and the whole ledger: for the treasurer and the auditor. */
export function addCashBookRoutes(app: FastifyInstance, { db }: Parts): void {
  app.get('/cash-book', { preHandler: may('money.see-all') }, async (request, reply) => {
    const asked = Object.keys(request.query as object).length > 0
    const form = readForm(SpanForm, request.query)
    const span = form.ok ? form.data : monthSoFar(request.visit.today)
    const transfers = await listTransfers(db)
    const book = cashBook({ transfers, accounts: await listAccounts(db), ...span })
    const names = await accountNames(request)
    const byId = new Map(transfers.map((transfer) => [transfer.id, transfer]))
    if (asked && !form.ok) reply.code(422)
    const { format } = request.visit
    return page({ request, reply }, 'fees/cash/book', {
      title: 'fees.cash-book.title',
      form: SpanForm,
      filled: asked && !form.ok ? form : emptyForm(span),
      caption: { from: format.date(span.from), to: format.date(span.to) },
      opening: inColumns(request, book.openingMinor),
      lines: book.lines.map((line) => lineShown(request, line, { names, byId })),
      closing: inColumns(request, book.closingMinor),
    })
  })

  app.get('/ledger.csv', { preHandler: may('money.see-all') }, async (request, reply) => {
    const { t } = request.visit.locale
    const { cell, currency } = moneyWords(request.visit)
    const names = await accountNames(request)
    const turns = await turnsOfTransfers(db)
    const books = new Map((await listReceiptBooks(db)).map(({ id, name }) => [id, name]))
    const keys = [
      'entry',
      'on',
      'kind',
      'debit',
      'credit',
      'amount',
      'receipt-book',
      'receipt',
      'draw',
      'turn',
      'corrects',
      'words',
      'writer',
    ]
    const rows = (await listTransfers(db)).map((one) => [
      one.id,
      one.on,
      t(`fees.kind.${one.kind}`),
      names.get(one.debitAccountId)!,
      names.get(one.creditAccountId)!,
      cell(one.amountMinor),
      one.receiptBook && (books.get(one.receiptBook) ?? t('money.book.screen')),
      one.receiptNumber,
      one.abstractionId,
      turns.get(one.id)?.turnId ?? null,
      one.correctsId,
      one.reason ?? one.words,
      one.writerName,
      one.writtenAt,
    ])
    const columns = [...keys, 'written'].map((key) => t(`fees.csv.${key}`, { currency }))
    return sendCsv(reply, 'ledger', writeCsv({ columns, rows }))
  })

  async function accountNames(request: FastifyRequest): Promise<Map<string, string>> {
    const { t } = request.visit.locale
    const persons = new Map((await listPersons(db)).map((person) => [person.id, `${person.number} ${person.name}`]))
    return new Map(
      (await listAccounts(db)).map(({ id, code, personId }) => [
        id,
        personId ? (persons.get(personId) ?? '') : t(`fees.account.${code}`),
      ]),
    )
  }
}

/** The book is looked at and signed by the month; any other span can be asked for. */
function monthSoFar(today: string) {
  return { from: `${today.slice(0, 7)}-01`, to: today }
}

function inColumns(request: FastifyRequest, amounts: Record<HeldColumn, number>): string[] {
  const { money } = moneyWords(request.visit)
  return HELD_COLUMNS.map((column) => money(amounts[column]))
}

interface Known {
  names: ReadonlyMap<string, string>
  byId: ReadonlyMap<string, WrittenTransfer>
}

/** A payment taken back shows the number of its receipt once more, on the other side. */
function lineShown(request: FastifyRequest, line: CashLine, { names, byId }: Known) {
  const { t } = request.visit.locale
  const { moneyOrNothing } = moneyWords(request.visit)
  const { transfer } = line
  const receipt = transfer.receiptNumber === null ? byId.get(transfer.correctsId ?? '') : transfer
  return {
    date: request.visit.format.date(transfer.on),
    receiptNumber: receipt?.receiptNumber ?? null,
    receiptKey: receipt && receiptKey(receipt),
    other: names.get(line.inMinor ? transfer.creditAccountId : transfer.debitAccountId)!,
    kind: t(`fees.kind.${transfer.kind}`),
    words: wordsOf(transfer),
    column: t(`fees.payment.column.${line.column}`),
    in: moneyOrNothing(line.inMinor),
    out: moneyOrNothing(line.outMinor),
    balances: inColumns(request, line.balancesMinor),
  }
}

function wordsOf(transfer: WrittenTransfer): string {
  return transfer.reason ?? transfer.words ?? ''
}
