import { arrearsAgeing } from '../../../domain/fees/arrears/settle.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import { write } from '../../book/pen.ts'
import { minutesShown } from '../../people/decision/state.ts'
import { answeringOwners } from '../../people/plot/owner-state.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { longList } from '../../web/pages/long-list.ts'
import { page } from '../../web/pages/page.ts'
import { finesUnderAppeal } from '../fine/appeal-store.ts'
import { byAccount, listTransfers, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { payerOptions, payersByNumber } from '../payer/options.ts'
import { listPayers, type Payer } from '../payer/store.ts'
import { promiseForm } from './forms.ts'
import { type Owed, owedByAccount } from './open-state.ts'
import { dueTimes, type InstalmentPromise, promises, writePromise } from './promise-store.ts'
import { listReliefs } from './relief-store.ts'

/** What is still to pay, since when, and what was agreed about it: for the treasurer and the auditor. */
export function addArrearsPages({ get, post }: Pages): void {
  get('/money/members', 'money.see-all', showArrears)
  get('/money/members/:personId/instalments', 'payment.record', newPromise)
  post('/money/members/:personId/instalments', 'payment.record', writePromiseOf)
  get('/money/members?as=instalments', 'payment.record', newPromiseOfAny)
  post('/money/members?as=instalments', 'payment.record', writePromiseOfAny)
}

async function showArrears(desk: Desk) {
  const owed = await owedByAccount(desk.db)
  const agreed = await promises(desk.db)
  const appealed = await finesUnderAppeal(desk.db)
  const payers = await payersByNumber(desk.db)
  const owners = await answeringOwners(desk)
  const minuteOf = await minutesShown(desk.db)
  const agreementOf = await agreementsOf(desk, agreed)
  const rows = payers.flatMap((payer) => {
    const own = owed.get(payer.accountId)!
    return own.owedMinor > 0 ? [{ ...rowOf(desk, payer, own, appealed), promise: agreementOf(payer) }] : []
  })
  const { inRow, money } = moneyWords(desk)
  return page(desk, 'fees/arrears/page', {
    title: 'today.door-owed',
    rows: rowsInSheets(desk, 'ages', rows),
    // Those with whom something was agreed are the ones to look after.
    list: longList(
      desk,
      [...rows.filter(({ promise }) => promise), ...rows.filter(({ promise }) => !promise)].map(
        ({ number, name, owed, since, promise, appealed, personId }) => ({
          at: number,
          personId,
          words: name,
          small: since && desk.t('arrears.open-since', { date: since }),
          strong: [appealed, promise, ownerWords(desk, owners.get(personId))].filter(Boolean).join(' '),
          figure: owed,
          href: `/money/members/${personId}`,
        }),
      ),
    ),
    total: money(sum(rows, (row) => row.owedMinor)),
    reliefs: (await listReliefs(desk.db)).toReversed().map((relief) => ({
      id: relief.id,
      name: relief.personName,
      amount: inRow(relief.amountMinor),
      minute: minuteOf(relief.minute),
      state: desk.t(relief.transfer ? 'arrears.relief.granted' : 'money.waits-for-name'),
    })),
  })
}

async function newPromise(desk: Desk<'personId'>) {
  const { personId } = found((await listPayers(desk.db)).get(desk.params.personId))
  return showPromise(desk, emptyForm({ personId, firstOn: desk.today, every: 'month' }), personId)
}

async function writePromiseOf(desk: Desk<'personId'>) {
  const { personId } = found((await listPayers(desk.db)).get(desk.params.personId))
  return promised(desk, personId)
}

async function newPromiseOfAny(desk: Desk) {
  return showPromise(desk, emptyForm({ firstOn: desk.today, every: 'month' }))
}

async function writePromiseOfAny(desk: Desk) {
  return promised(desk)
}

async function promised(desk: Desk, of?: Id<'person'>) {
  const form = readForm(promiseForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showPromise(desk, form, of)
  const { amount, personId, ...promised } = form.data
  const payer = (await listPayers(desk.db)).get(personId)
  if (!payer) return showPromise(desk, withError(form, 'personId', 'error.choose'), of)
  return write(
    desk,
    (pen) => writePromise(pen, { personId: payer.personId, amountMinor: amount, ...promised }),
    () => '/money/members',
  )
}

/** The form by itself, or the one that was opened from somebody's account. */
async function showPromise(desk: Desk, filled: Filled, of?: Id<'person'>) {
  return formPage(desk, {
    title: 'arrears.promise.title',
    form: promiseForm(moneyWords(desk).currency),
    filled,
    options: { personId: await payerOptions(desk.db) },
    action: of ? `/money/members/${of}/instalments` : '/money/members?as=instalments',
    intro: ['arrears.promise.intro'],
    back: '/money/members',
  })
}

function rowOf(desk: Desk, payer: Payer, { owedMinor, open }: Owed, appealed: ReadonlySet<Id<'transfer'>>) {
  const { inRow, inRowOrNothing } = moneyWords(desk)
  const charges = open.filter(({ transferId }) => !appealed.has(transferId))
  const appealedMinor = sum(open, ({ transferId, openMinor }) => (appealed.has(transferId) ? openMinor : 0))
  return {
    ...payer,
    owedMinor,
    owed: inRow(owedMinor),
    since: charges[0] ? desk.format.date(charges[0].on) : '',
    bands: arrearsAgeing({ charges, asOf: desk.today }).bands.map(({ amountMinor }) => inRowOrNothing(amountMinor)),
    appealed: appealedMinor > 0 ? desk.t('fines.appeal.owed', { amount: inRow(appealedMinor) }) : '',
  }
}

/** What was agreed with somebody who owes, and how far it is kept; the ledger is gone through once for all, and not at all where nobody agreed on anything. */
async function agreementsOf(desk: Desk, agreed: ReadonlyMap<string, InstalmentPromise>) {
  const ofAccount = agreed.size > 0 ? byAccount(await listTransfers(desk.db)) : null
  return ({ personId, accountId }: Payer) => {
    const promise = agreed.get(personId)
    const transfers = ofAccount?.get(accountId) ?? []
    return promise ? promiseWords(desk, promise, paidSince(transfers, accountId, promise)) : ''
  }
}

/** By the written rule the owner of a let plot answers for what the tenant leaves unpaid. */
function ownerWords({ t }: Desk, owners: readonly { name: string }[] | undefined): string {
  return owners ? t('tenure.arrears.owner-answers', { names: owners.map(({ name }) => name).join(', ') }) : ''
}

/** What was paid from the first day of the promise on. */
function paidSince(
  transfers: readonly WrittenTransfer[],
  accountId: Id<'account'>,
  { firstOn }: InstalmentPromise,
): number {
  const own = transfers.filter(
    ({ kind, correctsId, on, creditAccountId, debitAccountId }) =>
      on >= firstOn &&
      (creditAccountId === accountId ? kind === 'receipt' : debitAccountId === accountId && correctsId),
  )
  const receipts = new Set(own.filter(({ kind }) => kind === 'receipt').map(({ id }) => id))
  return own.reduce((sum, { id, amountMinor, correctsId }) => {
    if (receipts.has(id)) return sum + amountMinor
    return receipts.has(correctsId ?? '') ? sum - amountMinor : sum
  }, 0)
}

function promiseWords(desk: Desk, promise: InstalmentPromise, paidMinor: number): string {
  const { inRow } = moneyWords(desk)
  const due = dueTimes(promise, desk.today, desk.group)
  return desk.t('arrears.promise.line', {
    amount: inRow(promise.amountMinor),
    every: desk.t(`fixed-fee.every.${promise.every}`),
    first: desk.format.date(promise.firstOn),
    due: inRow(due * promise.amountMinor),
    paid: inRow(paidMinor),
    times: promise.times,
  })
}
