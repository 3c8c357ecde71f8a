import { receiptGaps } from '../../../domain/fees/receipt.ts'
import { type Cell, sendCsv, writeCsv } from '../../web/figures/csv.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { rangeText } from '../../web/figures/number-ranges.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { listAccounts } from '../ledger/account-store.ts'
import { listPayers } from '../payer/store.ts'
import { listReceiptBooks } from './book-store.ts'
import { allReceipts, SCREEN_BOOK } from './store.ts'

const COLUMNS = [
  'book',
  'number',
  'state',
  'on',
  'payer',
  'column',
  'amount',
  'words',
  'voided-on',
  'reason',
  'original',
]

/** Every number of every receipt book as one list: written, taken back, or missing; missing ones as stretches, 301–318. */
export function addReceiptCsvPages({ get }: Pages): void {
  get('/money/receipts.csv', 'money.see-all', sendReceipts)
}

async function sendReceipts(desk: Desk) {
  const { t } = desk
  const { cell, currency } = moneyWords(desk)
  const receipts = await allReceipts(desk.db)
  const paper = await listReceiptBooks(desk.db)
  const names = new Map([[SCREEN_BOOK, t('receipt.book.screen')], ...paper.map(({ id, name }) => [id, name] as const)])
  const codes = new Map((await listAccounts(desk.db)).map(({ id, code }) => [id, code]))
  const payers = new Map([...(await listPayers(desk.db)).values()].map((payer) => [payer.accountId, payer]))
  const written = receipts.map(({ transfer, voidedBy }): Cell[] => {
    const payer = payers.get(transfer.creditAccountId)
    return [
      names.get(transfer.receiptBook!)!,
      transfer.receiptNumber!,
      t(`fees.csv.state-${voidedBy ? 'voided' : 'written'}`),
      transfer.on,
      payer ? `${payer.number} ${payer.name}` : '',
      t(`fees.payment.column.${codes.get(transfer.debitAccountId)}`),
      cell(transfer.amountMinor),
      transfer.words,
      voidedBy?.on ?? null,
      voidedBy?.reason ?? null,
      voidedBy?.original ? t(`fees.void.original.${voidedBy.original}`) : null,
    ]
  })
  const numbered = receipts.map(({ transfer }) => ({
    bookId: transfer.receiptBook!,
    number: transfer.receiptNumber!,
  }))
  const firsts = paper.map(({ id, firstNumber }) => ({ bookId: id, firstNumber }))
  const books = [{ bookId: SCREEN_BOOK, firstNumber: 1 }, ...firsts]
  const missing = receiptGaps({ receipts: numbered, books }).map((gap): Cell[] => {
    const known = [names.get(gap.bookId)!, rangeText(gap), t('fees.csv.state-missing')]
    return [...known, ...Array<null>(COLUMNS.length - known.length).fill(null)]
  })
  const rows = [...written, ...missing].sort(
    (a, b) => String(a[0]).localeCompare(String(b[0])) || firstNumber(a) - firstNumber(b),
  )
  const columns = COLUMNS.map((key) => t(`fees.csv.receipt-${key}`, { currency }))
  return sendCsv(desk.reply, 'receipts', writeCsv({ columns, rows }))
}

function firstNumber([, number]: readonly Cell[]): number {
  return Number.parseInt(String(number), 10)
}
