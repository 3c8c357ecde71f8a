import { balanceOf } from '../../../domain/fees/ledger.ts'
import { write } from '../../book/pen.ts'
import { answeringOwners } from '../../people/plot/owner-state.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { transfersOf } from '../ledger/transfer-store.ts'
import { listPayers } from '../payer/store.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { secondName, signed } from '../signed.ts'
import { moveForm } from './forms.ts'
import { type ArrearsMove, listMoves, nameMove, writeMove } from './move-store.ts'

/** Where the group's rule says so, what a tenant left unpaid is charged to the owner of the plot, under a second name. */
export function addArrearsMovePages({ get, post }: Pages): void {
  get('/money/members/:personId/to-owner', 'payment.record', newMove)
  post('/money/members/:personId/to-owner', 'payment.record', askForMove)
  get('/money/names/to-owner/:id', 'money.see-own', showMove)
  post('/money/names/to-owner/:id', 'relief.approve', approveMove)
}

/** The tenant with what they owe and who answers for it. Throws PageError 409 where the rule or the book names nobody. */
async function tenantOf(desk: Desk<'personId'>) {
  const { personId } = desk.params
  const payer = found((await listPayers(desk.db)).get(personId))
  const owners = (await answeringOwners(desk)).get(personId)
  if (!owners) throw new PageError(409, 'tenure.arrears.nobody-answers')
  const { accountId } = payer
  return { owners, owed: balanceOf({ transfers: await transfersOf(desk.db, accountId), accountId }) }
}

async function newMove(desk: Desk<'personId'>) {
  const { owners, owed } = await tenantOf(desk)
  return show(desk, emptyForm({ ownerId: owners.length === 1 ? owners[0]!.id : '' }), { owners, owed })
}

async function askForMove(desk: Desk<'personId'>) {
  const tenant = await tenantOf(desk)
  const form = readForm(moveForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return show(desk, form, tenant)
  const { ownerId, amount, words } = form.data
  if (!tenant.owners.some(({ id }) => id === ownerId))
    return show(desk, withError(form, 'ownerId', 'error.choose'), tenant)
  if (amount > tenant.owed) {
    const values = { balance: moneyWords(desk).balance(tenant.owed) }
    return show(desk, withError(form, 'amount', 'arrears.relief.more-than-owed', values), tenant)
  }
  return write(
    desk,
    (pen) => writeMove(pen, { tenantId: desk.params.personId, ownerId, amountMinor: amount, words }),
    (id) => `/money/names/to-owner/${id}`,
  )
}

/** Both of whom it is, the treasurer and the auditor, and whoever may put the second name under it. */
async function moveFor(desk: Desk<'id'>): Promise<ArrearsMove> {
  const move = (await listMoves(desk.db)).find(({ id }) => id === desk.params.id)
  const isAsked = move && !move.approval && !move.withheld && desk.may('relief.approve')
  if (!isAsked && move?.ownerId !== desk.person.id) onlyMoneyOf(desk, move?.tenantId)
  return found(move)
}

async function showMove(desk: Desk<'id'>) {
  const move = await moveFor(desk)
  return page(desk, 'fees/arrears/move', {
    title: 'tenure.move.heading',
    titleValues: { tenant: move.tenantName, owner: move.ownerName },
    move,
    amount: moneyWords(desk).money(move.amountMinor),
    writer: signed(desk, move.writerName, move.writtenAt),
    second: secondName(desk, move.approval),
    names: await namesShown(desk, move.id),
  })
}

async function approveMove(desk: Desk<'id'>) {
  const move = await moveFor(desk)
  return write(
    desk,
    (pen) => nameMove(pen, move, desk.today),
    () => '/money',
  )
}

function show(desk: Desk<'personId'>, filled: Filled, { owners, owed }: Awaited<ReturnType<typeof tenantOf>>) {
  return formPage(desk, {
    title: 'tenure.move.title',
    form: moveForm(moneyWords(desk).currency),
    filled,
    options: { ownerId: owners.map(({ id, name }) => ({ value: id, label: name })) },
    notes: [moneyWords(desk).balance(owed)],
    intro: ['tenure.move.intro'],
    action: `/money/members/${desk.params.personId}/to-owner`,
    back: `/money/members/${desk.params.personId}`,
  })
}
