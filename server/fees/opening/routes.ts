import { isNewBook } from '../../book/names/first-days.ts'
import { isOwnMatter } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, type Option } from '../../web/pages/form-page.ts'
import { groupAccount, MONEY_COLUMNS } from '../ledger/account-store.ts'
import { listTransfers } from '../ledger/transfer-store.ts'
import { payersByNumber } from '../payer/options.ts'
import { askedFarMore } from '../receipt/far-more.ts'
import { openingForm } from './forms.ts'
import { recordOpening } from './store.ts'

/** What the accounts stood at before this book, for a group that did not begin with nothing. */
export function addOpeningPages({ get, post }: Pages): void {
  get('/money/settle/from-before', 'payment.record', newOpening)
  post('/money/settle/from-before', 'payment.record', writeOpening)
}

async function newOpening(desk: Desk) {
  return showOpening(desk, emptyForm({ onDate: desk.today, side: 'held-or-to-pay' }))
}

async function writeOpening(desk: Desk) {
  const form = readForm(openingForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showOpening(desk, form)
  const { accountId, side, amount, onDate, words } = form.data
  if (!(await accountOptions(desk)).some((option) => option.value === accountId)) {
    return showOpening(desk, withError(form, 'accountId', 'error.choose'))
  }
  const payer = (await payersByNumber(desk.db)).find((one) => one.accountId === accountId)
  if (payer && (await isOwnMatter(desk, [payer.personId])))
    return showOpening(desk, withError(form, 'accountId', 'fees.opening.own'))
  if (side === 'ahead-or-less' && (await isBegun(desk)))
    return showOpening(desk, withError(form, 'side', payer ? 'fees.opening.begun' : 'fees.opening.begun-held'))
  if (onDate > desk.today) return showOpening(desk, withError(form, 'onDate', 'fees.opening.future'))
  const asked =
    payer && (await askedFarMore(desk, form, { field: 'amount', payerId: payer.personId, amountMinor: amount }))
  if (asked) return showOpening(desk, asked)
  return write(
    desk,
    (pen) => recordOpening(pen, { accountId, side, amountMinor: amount, onDate, words }),
    () => '/money',
  )
}

/** Once there are charges and payments, one name alone would make a debt smaller by this, or money held. */
async function isBegun({ db, at }: Desk): Promise<boolean> {
  if (await isNewBook(db, at.toISOString())) return false
  return (await listTransfers(db)).some(({ kind }) => kind !== 'opening')
}

async function accountOptions(desk: Desk): Promise<Option[]> {
  const { t } = desk
  const held: Option[] = []
  for (const code of MONEY_COLUMNS) {
    held.push({ value: await groupAccount(desk.db, code), label: t(`fees.payment.column.${code}`) })
  }
  const members = (await payersByNumber(desk.db)).map(({ accountId, number, name }) => {
    return { value: accountId, label: `${number} ${name}` }
  })
  return [...held, ...members]
}

async function showOpening(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'fees.opening.title',
    form: openingForm(moneyWords(desk).currency),
    filled,
    options: { accountId: await accountOptions(desk) },
    action: '/money/settle/from-before',
    intro: ['fees.opening.intro'],
    back: '/money',
  })
}
