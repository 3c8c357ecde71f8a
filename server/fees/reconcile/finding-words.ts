import { type Difference, waitsToBePosted } from '../../../domain/fees/reconcile/difference.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Finding, PeriodBooks } from './books.ts'
import { doorsOf } from './finding-doors.ts'

/** What was found, in neutral words: how much, of what, its tolerance, where to look first, and doors to the entries. */
export function findingShown(desk: Desk, { key, difference, note }: Finding, books: PeriodBooks) {
  const { t } = desk
  const waits = waitsToBePosted(difference)
  return {
    key,
    waits,
    code: difference.code,
    sentence: t(`reconcile.difference.${difference.code}`, valuesOf(desk, difference, books)),
    tolerance: waits ? '' : toleranceOf(desk, difference),
    lookAt: waits ? [] : difference.lookAt.map((place) => t(`reconcile.look.${place}`)),
    doors: doorsOf(desk, difference, books),
    note: note && { words: note.words, by: note.writerName, at: desk.format.instant(note.writtenAt) },
    /** A cash count is explained on its own page, where the book follows the coins. */
    byNote: !/^(counted|reserve)-/.test(difference.code),
  }
}

function valuesOf(desk: Desk, { amountMinor, volumeM3, values }: Difference, books: PeriodBooks) {
  const { money } = moneyWords(desk)
  const { format, locale } = desk
  const amounts = ['dueMinor', 'postedMinor', 'receiptMinor', 'bookMinor', 'countedMinor', 'expectedMinor'] as const
  const inMoney = [...amounts, 'closingMinor', 'statedMinor'] as const
  return {
    ...Object.fromEntries(inMoney.map((name) => [name.replace('Minor', ''), money(Number(values[name] ?? 0))])),
    amount: amountMinor === null ? '' : money(Math.abs(amountMinor)),
    volume: volumeM3 === null ? '' : format.volume(Math.abs(volumeM3)),
    pumped: values.pumpedM3 === undefined ? '' : format.volume(Number(values.pumpedM3)),
    deliveries: Number(values.deliveries ?? 1),
    count: Number(values.count ?? 0),
    number: Number(values.number ?? values.fromNumber ?? 0),
    to: Number(values.toNumber ?? 0),
    more: Number(values.toNumber ?? 0) - Number(values.fromNumber ?? 0),
    times: Number(values.times ?? 0),
    paidDays: Number(values.paidDays ?? 0),
    loggedDays: Number(values.loggedDays ?? 0),
    anyDays: Number(values.anyDays ?? 0),
    book: bookName(desk, String(values.bookId ?? ''), books),
    column: values.column ? locale.t(`fees.payment.column.${values.column}`) : '',
    inBook: money(Number(values.bookMinor ?? 0)),
  }
}

/** A paper book is called a receipt book, since its name alone may read like a person's. */
function bookName({ t }: Desk, id: string, { receipts }: PeriodBooks): string {
  const name = receipts.books.find((book) => book.id === id)?.name
  return name ? t('receipt.book.called', { name }) : t('receipt.book.screen')
}

function toleranceOf(desk: Desk, { toleranceM3, toleranceMinor }: Difference): string {
  const { format, locale } = desk
  if (toleranceM3 !== null) return locale.t('reconcile.tolerance-volume', { volume: format.volume(toleranceM3) })
  return toleranceMinor === null ? '' : locale.t('reconcile.tolerance-exact')
}
