import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { signed } from '../signed.ts'
import { NAMES_NEEDED, type Voucher } from './store.ts'

/** A voucher as pages show it. */
export function voucherShown(desk: Desk, voucher: Voucher) {
  const { format, locale } = desk
  const { money } = moneyWords(desk)
  const { id, number, payee, purpose, category, invoice, column, payout, names, withheld } = voucher
  return {
    id,
    number,
    payee,
    purpose,
    invoice,
    category: locale.t(`vouchers.category.${category}`),
    column: locale.t(`fees.payment.column.${column}`),
    amount: money(voucher.amountMinor),
    writer: signed(desk, voucher.writerName, voucher.writtenAt),
    names: names.map(({ name, at }) => signed(desk, name, at)),
    namesMissing: Math.max(0, NAMES_NEEDED - names.length),
    paid: payout && locale.t('vouchers.paid-line', { date: format.date(payout.on), name: payout.writerName }),
    state: withheld ? 'withheld' : payout ? 'paid' : names.length >= NAMES_NEEDED ? 'ready' : 'waits',
  }
}
