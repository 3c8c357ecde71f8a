import { balanceOf } from '../../../domain/fees/ledger.ts'
import { write } from '../../book/pen.ts'
import { minuteOptions, minutesShown } from '../../people/decision/state.ts'
import { allRoles, listPersons } from '../../people/person/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { transfersOf } from '../ledger/transfer-store.ts'
import { payersByNumber } from '../payer/options.ts'
import { listPayers } from '../payer/store.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { secondName, signed } from '../signed.ts'
import { reliefForm } from './forms.ts'
import { grantRelief, listReliefs, type Relief, writeRelief } from './relief-store.ts'

/** Relief by a minute and a second name: the officer who is asked sees this one matter and no other. */
export function addReliefPages({ get, post }: Pages): void {
  get('/money/relief', 'payment.record', newRelief)
  post('/money/relief', 'payment.record', askForRelief)
  get('/money/names/relief/:id', 'money.see-own', showRelief)
  post('/money/names/relief/:id', 'relief.approve', approveRelief)
}

async function newRelief(desk: Desk) {
  return showForm(desk, emptyForm({ personId: desk.query.personId ?? '' }))
}

async function askForRelief(desk: Desk) {
  const form = readForm(reliefForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showForm(desk, form)
  const { personId, amount, minute, words, askedId } = form.data
  const payer = (await listPayers(desk.db)).get(personId)
  if (!payer) return showForm(desk, withError(form, 'personId', 'error.choose'))
  if (!(await officers(desk)).some(({ id }) => id === askedId) || askedId === personId) {
    return showForm(desk, withError(form, 'askedId', 'arrears.relief.other-officer'))
  }
  const { accountId } = payer
  const owed = balanceOf({ transfers: await transfersOf(desk.db, accountId), accountId })
  if (amount > owed) {
    const values = { balance: moneyWords(desk).balance(owed) }
    return showForm(desk, withError(form, 'amount', 'arrears.relief.more-than-owed', values))
  }
  return write(
    desk,
    (pen) => writeRelief(pen, { personId, amountMinor: amount, minute, words, askedId }),
    (id) => `/money/names/relief/${id}`,
  )
}

async function showRelief(desk: Desk<'id'>) {
  const relief = await reliefFor(desk)
  const { id, personName, minute, words, askedName, approval } = relief
  return page(desk, 'fees/arrears/relief', {
    title: 'arrears.relief.heading',
    titleValues: { name: personName },
    relief: {
      id,
      minute: (await minutesShown(desk.db))(minute),
      words,
      askedName,
      amount: moneyWords(desk).money(relief.amountMinor),
      writer: signed(desk, relief.writerName, relief.writtenAt),
      second: secondName(desk, approval),
    },
    names: await namesShown(desk, id),
  })
}

async function approveRelief(desk: Desk<'id'>) {
  const relief = await reliefFor(desk)
  if (relief.askedId !== desk.person.id) throw new PageError(403, 'fees.page-403')
  return write(
    desk,
    (pen) => grantRelief(pen, relief, desk.today),
    () => `/money/names/relief/${relief.id}`,
  )
}

/** The asked officer, the person, the treasurer and the auditor; nobody else gets as far as a 404. */
async function reliefFor(desk: Desk<'id'>): Promise<Relief> {
  const { id } = desk.params
  const relief = (await listReliefs(desk.db)).find((one) => one.id === id)
  if (relief?.askedId !== desk.person.id) onlyMoneyOf(desk, relief?.personId)
  return found(relief)
}

async function officers(desk: Desk) {
  const roles = await allRoles(desk.db, desk.today)
  return (await listPersons(desk.db)).filter(({ id }) => id !== desk.person.id && roles.get(id)?.includes('committee'))
}

async function showForm(desk: Desk, filled: Filled) {
  const option = ({ id, number, name }: { id: string; number: number; name: string }) => ({
    value: id,
    label: `${number} ${name}`,
  })
  const payers = await payersByNumber(desk.db)
  return formPage(desk, {
    title: 'arrears.relief.title',
    form: reliefForm(moneyWords(desk).currency),
    filled,
    options: {
      personId: payers.map(({ personId, number, name }) => option({ id: personId, number, name })),
      minute: await minuteOptions(desk),
      askedId: (await officers(desk)).map(option),
    },
    action: '/money/relief',
    intro: ['arrears.relief.intro'],
    back: '/money/members',
  })
}
