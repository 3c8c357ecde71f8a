import { rollups } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { localDate } from '../../web/pages/visit.ts'
import { heldIn } from '../ledger/cash-store.ts'
import { closedDayError } from '../ledger/closed-day.ts'
import { seesAllMoney } from '../privacy.ts'
import { floatForm, moveForm } from './forms.ts'
import { voucherShown } from './pages.ts'
import { floatLimitOn, listVouchers, moveMoney, setFloatLimit, type Voucher } from './store.ts'

/** The costs in one list, the reserve for the pump, the most cash kept in the box, and money moved between the columns. */
export function addCostPages({ get, post }: Pages): void {
  get('/money/vouchers', 'voucher.see', showVouchers)
  get('/money/settle/most-cash', 'payment.record', newFloatLimit)
  post('/money/settle/most-cash', 'payment.record', writeFloatLimit)
  get('/money/move', 'payment.record', newMove)
  post('/money/move', 'payment.record', writeMove)
}

async function showVouchers(desk: Desk) {
  const { inRow, money } = moneyWords(desk)
  const all = await listVouchers(desk.db)
  const since = desk.query.seasons === 'all' ? null : desk.group.seasonStartOn
  const vouchers = since === null ? all : all.filter((voucher) => isSince(desk, since, voucher))
  const paid = vouchers.filter(({ payout }) => payout)
  const sums = rollups(
    paid,
    (own) => sum(own, (one) => one.amountMinor),
    ({ category }) => category,
  )
  const { shown, sheet } = rowsInSheets(desk, 'vouchers', vouchers.toReversed())
  const [limit, cash] = [await floatLimitOn(desk.db, desk.today), await heldIn(desk.db, 'cash')]
  return page(desk, 'fees/voucher/list', {
    title: 'vouchers.vouchers-title',
    sheet,
    count: vouchers.length,
    ofSeason: since !== null,
    hasOlder: vouchers.length < all.length,
    vouchers: shown.map((voucher) => voucherShown(desk, voucher, inRow)),
    sums: sums.map(([category, sum]) => ({
      label: desk.t(`vouchers.category.${category}`),
      amount: inRow(sum),
    })),
    total: inRow(sum(paid, (one) => one.amountMinor)),
    reserve: money(await heldIn(desk.db, 'reserve')),
    limit: limit === null ? null : money(limit),
    above: limit !== null && cash > limit && seesAllMoney(desk) ? money(cash - limit) : null,
  })
}

/** Written or paid since then, or not settled yet, however old. */
function isSince({ timeZone }: Desk, since: CalendarDate, { writtenAt, payout, withheld }: Voucher): boolean {
  if (!payout) return !withheld || localDate(new Date(writtenAt), timeZone) >= since
  return payout.on >= since
}

async function newFloatLimit(desk: Desk) {
  return showFloat(desk, emptyForm({ fromOn: desk.today }))
}

async function writeFloatLimit(desk: Desk) {
  const form = readForm(floatForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showFloat(desk, form)
  const { fromOn, limit } = form.data
  return write(
    desk,
    (pen) => setFloatLimit(pen, { fromOn, limitMinor: limit }),
    () => '/money/vouchers',
  )
}

async function newMove(desk: Desk) {
  return showMove(desk, emptyForm({ from: 'cash', onDate: desk.today }))
}

async function writeMove(desk: Desk) {
  const form = readForm(moveForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showMove(desk, form)
  const { from, to, amount, onDate, words } = form.data
  if (from === to) return showMove(desk, withError(form, 'to', 'other-money.move.same'))
  const day = await closedDayError(desk, onDate)
  if (day) return showMove(desk, withError(form, 'onDate', day.key, day.values))
  if ((await heldIn(desk.db, from)) < amount)
    return showMove(desk, withError(form, 'amount', 'other-money.move.not-enough'))
  return write(
    desk,
    (pen) => moveMoney(pen, { from, to, amountMinor: amount, onDate, words }),
    () => '/money/vouchers',
  )
}

function showFloat(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'vouchers.float.title',
    form: floatForm(moneyWords(desk).currency),
    filled,
    action: '/money/settle/most-cash',
    intro: ['vouchers.float.intro'],
    back: '/money/vouchers',
  })
}

function showMove(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'other-money.move.title',
    form: moveForm(moneyWords(desk).currency),
    filled,
    action: '/money/move',
    intro: ['other-money.move.intro'],
    beside: { href: '/money/move?as=pump', words: 'vouchers.reserve-move.title' },
    back: '/money/vouchers',
  })
}
