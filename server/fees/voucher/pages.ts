import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { signed } from '../signed.ts'
import { NAMES_NEEDED, type Voucher } from './store.ts'

/** So long a bill is remembered beside another like it. Own choice, no source. */
const DAYS_ALIKE = 60

/** Other vouchers for the same payee, amount and bill, or for days of the same person, each with which it is: two names were put under one bill thrice. */
export function alikeTo(voucher: Voucher, all: readonly Voucher[]) {
  const others = all.filter(({ id, withheld }) => id !== voucher.id && !withheld)
  return others
    .filter((one) => isSameBill(one, voucher) || paysSameDays(one, voucher))
    .map(({ id, number }) => ({ id, number, same: voucher.stipend ? 'days' : 'bill' }))
}

function isSameBill(one: Voucher, other: Voucher): boolean {
  if (one.stipend || other.stipend || one.amountMinor !== other.amountMinor) return false
  const told = ({ payee, invoice }: Voucher) =>
    [payee, invoice ?? ''].map((text) => text.trim().toLowerCase()).join('\n')
  const apartMs = Math.abs(Date.parse(one.writtenAt) - Date.parse(other.writtenAt))
  return told(one) === told(other) && apartMs <= DAYS_ALIKE * 86_400_000
}

function paysSameDays({ stipend: one }: Voucher, { stipend: other }: Voucher): boolean {
  return (
    one !== null &&
    other !== null &&
    one.personId === other.personId &&
    one.fromOn <= other.toOn &&
    other.fromOn <= one.toOn
  )
}

/** A voucher as pages show it; `shown` writes its amount. */
export function voucherShown(desk: Desk, voucher: Voucher, shown = moneyWords(desk).money) {
  const { format, locale } = desk
  const { id, number, payee, purpose, category, invoice, column, payout, names, withheld } = voucher
  const namesMissing = Math.max(0, NAMES_NEEDED - names.length)
  const paid = payout && locale.t('vouchers.paid-line', { date: format.date(payout.on), name: payout.writerName })
  // By form none is paid before its names; a file of another device may say so.
  const waits = locale.t('vouchers.state.waits', { count: namesMissing })
  return {
    id,
    number,
    payee,
    purpose,
    invoice,
    category: locale.t(`vouchers.category.${category}`),
    column: locale.t(`fees.payment.column.${column}`),
    amount: shown(voucher.amountMinor),
    writer: signed(desk, voucher.writerName, voucher.writtenAt),
    names: names.map(({ name, at }) => signed(desk, name, at)),
    namesMissing,
    paid: paid && namesMissing > 0 ? `${paid}; ${waits}` : paid,
    state: withheld ? 'withheld' : payout ? 'paid' : names.length >= NAMES_NEEDED ? 'ready' : 'waits',
  }
}
