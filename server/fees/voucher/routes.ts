import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { approve } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { listPersons } from '../../people/person/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { localDate } from '../../web/pages/visit.ts'
import { heldIn } from '../ledger/cash-store.ts'
import { closedDayError } from '../ledger/closed-day.ts'
import { PayoutForm, voucherForm } from './forms.ts'
import { alikeTo, voucherShown } from './pages.ts'
import { daysInLog, listVouchers, NAMES_NEEDED, payVoucher, type Voucher, writeVoucher } from './store.ts'

/** What the group pays: a voucher first, two names under it, then the money. */
export function addVoucherPages({ get, post }: Pages): void {
  get('/money/vouchers/new', 'payment.record', newVoucher)
  post('/money/vouchers/new', 'payment.record', writeNewVoucher)
  get('/money/names/voucher/:id', 'voucher.see', showOneVoucher)
  post('/money/names/voucher/:id', 'voucher.approve', signVoucher)
  post('/money/names/voucher/:id/pay', 'payment.record', payOut)
}

async function newVoucher(desk: Desk) {
  return showForm(desk, emptyForm({ column: 'cash' }))
}

async function writeNewVoucher(desk: Desk) {
  const form = readForm(voucherForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showForm(desk, form)
  const { payee, purpose, category, amount, invoice, column } = form.data
  const stipend = stipendOf(form.data)
  if (stipend === 'incomplete') {
    return showForm(desk, withError(form, 'stipendDays', 'vouchers.stipend-incomplete'))
  }
  if (column === 'reserve' && category !== 'replacement') {
    return showForm(desk, withError(form, 'column', 'vouchers.reserve-only'))
  }
  return write(
    desk,
    (pen) => writeVoucher(pen, { payee, purpose, category, amountMinor: amount, invoice, column, stipend }),
    (id) => `/money/names/voucher/${id}`,
  )
}

async function showOneVoucher(desk: Desk<'id'>) {
  return showVoucher(desk, await voucherOf(desk), emptyForm({ onDate: desk.today }))
}

async function signVoucher(desk: Desk<'id'>) {
  const voucher = await voucherOf(desk)
  return write(
    desk,
    (pen) => approve(pen, voucher.id),
    () => `/money/names/voucher/${voucher.id}`,
  )
}

async function payOut(desk: Desk<'id'>) {
  const voucher = await voucherOf(desk)
  if (voucher.names.length < NAMES_NEEDED) throw new PageError(409, 'vouchers.needs-names')
  if (voucher.payout) throw new PageError(409, 'vouchers.paid')
  const form = readForm(PayoutForm, desk.body)
  if (!form.ok) return showVoucher(desk, voucher, form)
  const day = await closedDayError(desk, form.data.onDate)
  if (day) return showVoucher(desk, voucher, withError(form, 'onDate', day.key, day.values))
  const named = localDate(new Date(voucher.names[NAMES_NEEDED - 1]!.at), desk.timeZone)
  if (form.data.onDate < named) {
    const values = { date: desk.format.date(named) }
    return showVoucher(desk, voucher, withError(form, 'onDate', 'vouchers.payout.before-names', values))
  }
  if ((await heldIn(desk.db, voucher.column)) < voucher.amountMinor) {
    return showVoucher(desk, voucher, withError(form, 'onDate', 'vouchers.not-enough'))
  }
  const words = desk.t('vouchers.line', { number: voucher.number, purpose: voucher.purpose })
  return write(
    desk,
    (pen) => payVoucher(pen, { id: voucher.id, onDate: form.data.onDate, words }),
    () => `/money/names/voucher/${voucher.id}`,
  )
}

async function voucherOf(desk: Desk<'id'>): Promise<Voucher> {
  const { id } = desk.params
  return found((await listVouchers(desk.db)).find((voucher) => voucher.id === id))
}

async function showForm(desk: Desk, filled: Filled) {
  const persons = await listPersons(desk.db)
  return formPage(desk, {
    title: 'vouchers.title',
    form: voucherForm(moneyWords(desk).currency),
    filled,
    options: {
      stipendPersonId: persons.map(({ id, number, name }) => ({ value: id, label: `${number} ${name}` })),
    },
    action: '/money/vouchers/new',
    intro: ['vouchers.intro'],
    back: '/money/vouchers',
  })
}

async function showVoucher(desk: Desk, voucher: Voucher, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const { stipend } = voucher
  const days = stipend && (await daysInLog(desk.db, stipend))
  const person = stipend && (await listPersons(desk.db)).find(({ id }) => id === stipend.personId)
  return page(desk, 'fees/voucher/page', {
    title: 'vouchers.heading',
    titleValues: { number: voucher.number },
    voucher: voucherShown(desk, voucher),
    stipend: stipend && {
      name: person?.name ?? '',
      from: desk.format.date(stipend.fromOn),
      to: desk.format.date(stipend.toOn),
      days: stipend.days,
      own: days!.own,
      any: days!.any,
    },
    alike: alikeTo(voucher, await listVouchers(desk.db)),
    names: await namesShown(desk, voucher.id),
    form: PayoutForm,
    filled,
    action: `/money/names/voucher/${voucher.id}/pay`,
    submit: 'vouchers.payout.submit',
  })
}

function stipendOf(data: {
  category: string
  stipendPersonId: Id<'person'> | null
  stipendFromOn: CalendarDate | null
  stipendToOn: CalendarDate | null
  stipendDays: number | null
}) {
  if (data.category !== 'stipend') return null
  const { stipendPersonId: personId, stipendFromOn: fromOn, stipendToOn: toOn, stipendDays: days } = data
  if (!personId || !fromOn || !toOn || !days || toOn < fromOn) return 'incomplete' as const
  return { personId, fromOn, toOn, days }
}
