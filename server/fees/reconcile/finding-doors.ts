import type { Difference } from '../../../domain/fees/reconcile/difference.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { PeriodBooks } from './books.ts'

interface Door {
  href: string
  label: string
}

interface Asked {
  values: Difference['values']
  books: PeriodBooks
  mayPost: boolean
}

/** An address and what its door is called. */
type Way = readonly [href: string, name: string]
type Ways = (asked: Asked) => readonly Way[]

/** Pages that tell who paid what, open only to those who keep and check the money. */
const ONLY_KEEPERS = /^\/money\/(receipts(?!\?as=books)|all-lines|held\?as=papers)\b/

const water: Ways = () => [
  ['/water/went', 'balance'],
  ['/log', 'log'],
]
const toPost: Ways = ({ mayPost }) => [mayPost ? ['/money/charges', 'charges'] : ['/log', 'log']]
const receipts: Ways = () => [['/money/receipts', 'receipts']]
const receiptBooks: Ways = (asked) => [['/money/receipts?as=books', 'books'], ...receipts(asked)]
const cashBook: Ways = ({ books: { from, to } }) => [[`/money/cash-book?from=${from}&to=${to}`, 'cash-book']]
const counted: Ways = (asked) =>
  asked.books.count ? [[`/money/names/count/${asked.books.count.id}`, 'count']] : cashBook(asked)
const reserve: Ways = (asked) => {
  const { reserveCount } = asked.books
  if (!reserveCount) return cashBook(asked)
  return [
    [`/money/names/count/${reserveCount.id}`, 'count'],
    ['/money/held?open=pump#pump', 'reserve'],
  ]
}
const stated: Ways = ({ values, books }) => {
  const statement = books.statements.find(({ column }) => column === values.column)
  return [[statement ? `/money/names/bank-paper/${statement.id}` : '/money/held?open=papers#papers', 'statement']]
}

/** Where to look first for each thing that was found: the pages on which its entries stand. */
const WAYS: Record<Difference['code'], Ways> = {
  'water-unexplained': water,
  'more-water-recorded-than-pumped': water,
  'fixed-fee-not-charged': ({ mayPost }) => [
    ...(mayPost ? [['/money/charges?as=fees', 'fixed-fees'] as const] : []),
    ['/money/price', 'tariffs'],
  ],
  'delivery-without-charge': toPost,
  'unused-turn-not-charged': toPost,
  'used-turn-not-given-back': toPost,
  'struck-out-delivery-not-given-back': toPost,
  'delivery-charged-to-another': toPost,
  'charge-not-by-tariff': ({ values }) => [
    [`/log/lines/drawn/${values.abstractionId}`, 'delivery'],
    ['/money/price', 'tariffs'],
  ],
  'arrears-do-not-close': () => [['/money/all-lines.csv', 'ledger']],
  'receipt-number-missing': receiptBooks,
  'receipt-number-twice': receiptBooks,
  'receipt-without-transfer': receipts,
  'receipt-on-another-account': receipts,
  'receipt-not-in-cash-book': receipts,
  'transfer-amount-not-receipt': receipts,
  'cash-book-line-without-receipt': cashBook,
  'cash-book-amount-not-receipt': cashBook,
  'paid-days-not-logged-days': ({ values }) => [
    [`/money/names/voucher/${values.voucherId}`, 'voucher'],
    ['/log', 'log'],
  ],
  'payment-without-voucher': (asked) => [['/money/vouchers', 'vouchers'], ...cashBook(asked)],
  'counted-less-than-book': counted,
  'counted-more-than-book': counted,
  'reserve-less-than-book': reserve,
  'reserve-more-than-book': reserve,
  'statement-less-than-book': stated,
  'statement-more-than-book': stated,
}

/** Doors to the entries behind what was found, for whoever looks. */
export function doorsOf({ t, may }: Desk, { code, values }: Difference, books: PeriodBooks): Door[] {
  return WAYS[code]({ values, books, mayPost: may('charges.post') })
    .filter(([href]) => may('money.see-all') || !ONLY_KEEPERS.test(href))
    .map(([href, name]) => ({ href, label: t(`reconcile.door.${name}`) }))
}
