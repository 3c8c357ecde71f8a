import { type Difference, waitsToBePosted } from '../../../domain/fees/reconcile/difference.ts'
import { may } from '../../../domain/people/permissions.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Finding, PeriodBooks } from './books.ts'

/** Pages that tell who paid what, open only to those who keep and check the money. */
const ONLY_KEEPERS = /^\/money\/(receipts(?!\?as=books)|all-lines|held\?as=papers)\b/

interface Door {
  href: string
  label: string
}

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
    doors: doorsOf(desk, difference, books).filter(({ href }) => desk.may('money.see-all') || !ONLY_KEEPERS.test(href)),
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

function doorsOf(desk: Desk, { code, values }: Difference, books: PeriodBooks): Door[] {
  const { t } = desk
  const door = (href: string, name: string, shown: Record<string, string | number> = {}) => ({
    href,
    label: t(`reconcile.door.${name}`, shown),
  })
  const span = `from=${books.from}&to=${books.to}`
  if (code === 'water-unexplained' || code === 'more-water-recorded-than-pumped') {
    return [door('/water/went', 'balance'), door('/log', 'log')]
  }
  const roles = desk.person.roles ?? []
  if (code === 'fixed-fee-not-charged') {
    return [
      ...(may({ roles, permission: 'charges.post' }) ? [door('/money/charges?as=fees', 'fixed-fees')] : []),
      door('/money/price', 'tariffs'),
    ]
  }
  if (code === 'delivery-without-charge' || /-not-charged$|-not-given-back$|-to-another$/.test(code)) {
    return may({ roles, permission: 'charges.post' }) ? [door('/money/charges', 'charges')] : [door('/log', 'log')]
  }
  if (code === 'charge-not-by-tariff') {
    return [door(`/log/lines/drawn/${values.abstractionId}`, 'delivery'), door('/money/price', 'tariffs')]
  }
  if (code === 'arrears-do-not-close') return [door('/money/all-lines.csv', 'ledger')]
  if (code === 'receipt-number-missing' || code === 'receipt-number-twice') {
    return [door('/money/receipts?as=books', 'books'), door('/money/receipts', 'receipts')]
  }
  if (code.startsWith('receipt-') || code.startsWith('transfer-')) return [door('/money/receipts', 'receipts')]
  if (code === 'paid-days-not-logged-days')
    return [door(`/money/names/voucher/${values.voucherId}`, 'voucher'), door('/log', 'log')]
  if (code === 'payment-without-voucher')
    return [door('/money/vouchers', 'vouchers'), door(`/money/cash-book?${span}`, 'cash-book')]
  if (code.startsWith('reserve-') && books.reserveCount) {
    return [door(`/money/names/count/${books.reserveCount.id}`, 'count'), door('/money/held?open=pump#pump', 'reserve')]
  }
  if (code.startsWith('counted-') && books.count) return [door(`/money/names/count/${books.count.id}`, 'count')]
  if (code.startsWith('statement-')) {
    const statement = books.statements.find(({ column }) => column === values.column)
    return [door(statement ? `/money/names/bank-paper/${statement.id}` : '/money/held?open=papers#papers', 'statement')]
  }
  return [door(`/money/cash-book?${span}`, 'cash-book')]
}
