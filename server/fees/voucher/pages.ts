import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { signed } from '../signed.ts'
import { NAMES_NEEDED, type Voucher } from './store.ts'

/** A voucher as pages show it; `shown` writes its amount. */
export function voucherShown(desk: Desk, voucher: Voucher, shown = moneyWords(desk).money) {
  const { format, locale } = desk
  const { id, number, payee, purpose, category, invoice, column, payout, names, withheld } = voucher
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
    namesMissing: Math.max(0, NAMES_NEEDED - names.length),
    paid: payout && locale.t('vouchers.paid-line', { date: format.date(payout.on), name: payout.writerName }),
    state: withheld ? 'withheld' : payout ? 'paid' : names.length >= NAMES_NEEDED ? 'ready' : 'waits',
  }
}
