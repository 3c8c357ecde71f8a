import type { CalendarDate } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import { kept } from '../../book/kept-answers.ts'
import { listPersons } from '../../people/person/store.ts'
import { sendCsv, writeCsv } from '../../web/figures/csv.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { turnsOfTransfers } from '../charge/missed-turns.ts'
import { HELD_COLUMNS, type HeldColumn, listAccounts } from '../ledger/account-store.ts'
import { listTransfers, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { otherIncomes } from '../other-money/store.ts'
import { fewPayers } from '../payer/few.ts'
import { seesAllMoney } from '../privacy.ts'
import { listReceiptBooks } from '../receipt/book-store.ts'
import { receiptKey } from '../receipt/store.ts'
import { type BookLine, type CashBook, cashBook, WITHOUT_MONEY, withReceiptsWithoutMoney } from './book.ts'
import { listCounts } from './count-store.ts'
import { SpanForm } from './forms.ts'

/** The cash book, for the officers who check it; the whole ledger for the treasurer and the auditor. */
export function addCashBookPages({ get }: Pages): void {
  get('/money/cash-book', 'closing.see', showCashBook)
  get('/money/all-lines.csv', 'money.see-all', sendLedger)
}

async function showCashBook(desk: Desk) {
  const asked = Object.keys(desk.query).length > 0
  const form = readForm(SpanForm, desk.query)
  const span = form.ok ? form.data : monthSoFar(desk.today)
  const { book, lines, byId } = await bookOf(desk.db, span)
  const names = await accountNames(desk)
  const counts = await listCounts(desk.db)
  const incomes = await otherIncomes(desk.db)
  const counted = new Map(counts.flatMap(({ countedOn, later }) => later.map(({ id }) => [id, countedOn] as const)))
  if (asked && !form.ok) desk.reply.code(422)
  const { format } = desk
  // Over few payers the sums would tell each one's own to those who do not keep the money.
  const few = !seesAllMoney(desk) && (await fewPayers(desk.db, span))
  return page(desk, 'fees/cash/book', {
    title: 'fees.cash-book.title',
    form: SpanForm,
    filled: asked && !form.ok ? form : emptyForm(span),
    caption: { from: format.date(span.from), to: format.date(span.to) },
    few,
    sheets: few
      ? []
      : sheetsOf(desk, { ...book, lines }, (line) => lineShown(desk, line, { names, byId, counted, incomes })),
    moved: lines.length,
    totals: totalsOf(desk, book),
    currency: moneyWords(desk).currency,
    cashClosing: moneyWords(desk).money(book.closingMinor.cash),
  })
}

/** The book of a spell, and what its lines take back: kept, since what went before takes the ledger of all years. */
function bookOf(db: Desk['db'], span: { from: CalendarDate; to: CalendarDate }) {
  return kept(db, 'cash book', span, async () => {
    const transfers = await listTransfers(db)
    const known = { transfers, accounts: await listAccounts(db), ...span }
    const book = cashBook(known)
    const lines = withReceiptsWithoutMoney(book, known)
    const takenBack = new Set(lines.map(({ transfer }) => transfer.correctsId))
    const byId = new Map(transfers.filter(({ id }) => takenBack.has(id)).map((transfer) => [transfer.id, transfer]))
    return { book, lines, byId }
  })
}

/** Rows that fit on a sheet of A4 across, with its head and its foot; a line of many words takes two. */
const ROWS_OF_A_SHEET = 20
const SIGNS_OF_A_ROW = 60

/** The book as it is turned over: each sheet begins with what the one before it carried forward. */
function sheetsOf(
  desk: Desk,
  book: { openingMinor: CashBook['openingMinor']; lines: readonly BookLine[] },
  shown: (line: BookLine) => ReturnType<typeof lineShown>,
) {
  const sheets: { lines: ReturnType<typeof lineShown>[]; rows: number; heldMinor: CashBook['openingMinor'] }[] = []
  for (const line of book.lines) {
    const one = shown(line)
    const signs = `${one.other} ${one.kind} ${one.words} ${one.later ?? ''}`.length
    const rows = Math.ceil(signs / SIGNS_OF_A_ROW)
    const open = sheets.at(-1)
    const sheet =
      open && open.rows + rows <= ROWS_OF_A_SHEET ? open : { lines: [], rows: 0, heldMinor: book.openingMinor }
    if (sheet !== open) sheets.push(sheet)
    sheet.lines.push(one)
    sheet.rows += rows
    sheet.heldMinor = line.balancesMinor
  }
  if (sheets.length === 0) sheets.push({ lines: [], rows: 0, heldMinor: book.openingMinor })
  return sheets.map(({ lines, heldMinor }, at) => ({
    lines,
    opening: inColumns(desk, sheets[at - 1]?.heldMinor ?? book.openingMinor),
    closing: inColumns(desk, heldMinor),
  }))
}

function totalsOf(desk: Desk, { lines }: CashBook) {
  const { inRow } = moneyWords(desk)
  return { in: inRow(sum(lines, ({ inMinor }) => inMinor)), out: inRow(sum(lines, ({ outMinor }) => outMinor)) }
}

async function sendLedger(desk: Desk) {
  const { t } = desk
  const { cell, currency } = moneyWords(desk)
  const names = await accountNames(desk)
  const turns = await turnsOfTransfers(desk.db)
  const books = new Map((await listReceiptBooks(desk.db)).map(({ id, name }) => [id, name]))
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
  const rows = (await listTransfers(desk.db)).map((one) => [
    one.id,
    one.on,
    t(`fees.kind.${one.kind}`),
    names.get(one.debitAccountId)!,
    names.get(one.creditAccountId)!,
    cell(one.amountMinor),
    one.receiptBook && (books.get(one.receiptBook) ?? t('receipt.book.screen')),
    one.receiptNumber,
    one.abstractionId,
    turns.get(one.id)?.turnId ?? null,
    one.correctsId,
    one.reason ?? one.words,
    one.writerName,
    one.writtenAt,
  ])
  const columns = [...keys, 'written'].map((key) => t(`fees.csv.${key}`, { currency }))
  return sendCsv(desk.reply, 'ledger', writeCsv({ columns, rows }))
}

async function accountNames(desk: Desk): Promise<Map<string, string>> {
  const { t } = desk
  const persons = new Map((await listPersons(desk.db)).map((person) => [person.id, `${person.number} ${person.name}`]))
  return new Map(
    (await listAccounts(desk.db)).map(({ id, code, personId }) => [
      id,
      personId ? (persons.get(personId) ?? '') : t(`fees.account.${code}`),
    ]),
  )
}

/** The book is looked at and signed by the month; any other span can be asked for. */
function monthSoFar(today: string) {
  return { from: `${today.slice(0, 7)}-01`, to: today }
}

function inColumns(desk: Desk, amounts: Record<HeldColumn, number>): string[] {
  const { inRow } = moneyWords(desk)
  return HELD_COLUMNS.map((column) => inRow(amounts[column]))
}

interface Known {
  names: ReadonlyMap<string, string>
  byId: ReadonlyMap<string, WrittenTransfer>
  /** Of lines written after a count of their day or a later one: when that was. */
  counted: ReadonlyMap<string, CalendarDate>
  incomes: Awaited<ReturnType<typeof otherIncomes>>
}

/** A payment taken back shows the number of its receipt once more, on the other side. */
function lineShown(desk: Desk, line: BookLine, { names, byId, counted, incomes }: Known) {
  const { t } = desk
  const { inRow, inRowOrNothing } = moneyWords(desk)
  const { transfer } = line
  const income = incomes.get(transfer.id)
  const receipt = transfer.receiptNumber === null ? byId.get(transfer.correctsId ?? '') : transfer
  return {
    date: desk.format.date(transfer.on),
    receiptNumber: receipt?.receiptNumber ?? null,
    receiptKey: receipt && seesAllMoney(desk) ? receiptKey(receipt) : null,
    // Who paid what is told to those who keep the money.
    other:
      receipt && !seesAllMoney(desk)
        ? t('fees.cash-book.a-payer')
        : (income?.fromWhom ?? names.get(isOut(line) ? transfer.debitAccountId : transfer.creditAccountId)!),
    kind: income ? t(`other-money.income.source.${income.source}`) : t(`fees.kind.${transfer.kind}`),
    words: receipt && !seesAllMoney(desk) ? '' : wordsOf(transfer),
    without: isWithoutMoney(line)
      ? t(`fees.cash-book.without.${line.column}`, { amount: inRow(transfer.amountMinor) })
      : null,
    later: laterThanCount(desk, transfer, counted.get(transfer.id)),
    column: t(`fees.payment.column.${line.column}`),
    in: inRowOrNothing(line.inMinor),
    out: inRowOrNothing(line.outMinor),
    balances: inColumns(desk, line.balancesMinor),
    own: (HELD_COLUMNS as readonly string[]).indexOf(line.column),
  }
}

function isWithoutMoney({ column }: BookLine): boolean {
  return WITHOUT_MONEY.some((one) => one === column)
}

/** Out of a column of money; of a receipt without money, where it is taken back. */
function isOut(line: BookLine): boolean {
  return isWithoutMoney(line) ? line.transfer.receiptNumber === null : line.inMinor === 0
}

/** A line that came after the coins were counted is marked where it stands. */
function laterThanCount(
  { t, format }: Desk,
  { writtenAt }: WrittenTransfer,
  on: CalendarDate | undefined,
): string | null {
  if (!on) return null
  return t('cash.count.line-later', { at: format.instant(writtenAt), counted: format.date(on) })
}

function wordsOf(transfer: WrittenTransfer): string {
  return transfer.reason ?? transfer.words ?? ''
}
