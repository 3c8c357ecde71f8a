import { type CalendarDate, isCalendarDate } from '../../../domain/calendar.ts'
import { openFlags } from '../../abstractions/plausibility/store.ts'
import { write } from '../../book/pen.ts'
import { readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { listAccounts } from '../ledger/account-store.ts'
import { findTransfer } from '../ledger/transfer-store.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { listTariffs } from '../tariff/store.ts'
import { ChargesForm } from './forms.ts'
import { chargesShown } from './pages.ts'
import { type Reckoning, reckonCharges } from './reckoning.ts'
import { seenMark } from './seen.ts'
import { postCharges } from './store.ts'
import { chargeWorking } from './working.ts'

/** Charges from logged volumes: seen before they are posted, and each opens to how it was reckoned. */
export function addChargePages({ get, post }: Pages): void {
  get('/money/charges', 'charges.post', newCharges)
  post('/money/charges', 'charges.post', writeCharges)
  get('/money/working/charge/:id', 'money.see-own', showCharge)
}

async function newCharges(desk: Desk) {
  const { today } = desk
  const { toOn = today } = desk.query
  return showCharges(desk, { toOn: isCalendarDate(toOn) && toOn <= today ? toOn : today })
}

async function writeCharges(desk: Desk) {
  const form = readForm(ChargesForm, desk.body)
  const { today } = desk
  if (!form.ok || form.data.toOn > today) return showCharges(desk, { toOn: today, changed: true })
  const { toOn, seen } = form.data
  const reckoning = await reckonCharges(desk.db, { toOn })
  if (reckoning.due.length === 0 || seenMark(reckoning) !== seen) {
    return showCharges(desk, { toOn, changed: true })
  }
  return write(
    desk,
    (pen) => postCharges(pen, { toOn, onDate: today, seen }),
    () => '/money',
  )
}

async function showCharge(desk: Desk<'id'>) {
  const transfer = await findTransfer(desk.db, desk.params.id)
  const accounts = await listAccounts(desk.db)
  const member = accounts.find(
    ({ id, personId }) => personId && (id === transfer?.debitAccountId || id === transfer?.creditAccountId),
  )
  onlyMoneyOf(desk, member?.personId)
  const working = transfer && member && (await chargeWorking(desk, { transfer, member }))
  return workingPage(desk, found(working ?? undefined))
}

async function showCharges(desk: Desk, { toOn, changed = false }: { toOn: CalendarDate; changed?: boolean }) {
  if (changed) desk.reply.code(409)
  const reckoning = await reckonCharges(desk.db, { toOn })
  const odd = await oddDraws(desk, reckoning)
  const shown = chargesShown(desk, reckoning, { tariffs: await listTariffs(desk.db), odd })
  return page(desk, 'fees/charges', { title: 'fees.charges.title', ...shown, toOn, changed })
}

/** Draws that the log has flagged and nobody has settled, so that no odd reading is charged unseen. */
async function oddDraws(desk: Desk, { due }: Reckoning): Promise<Set<string>> {
  const draws = due.flatMap(({ draw }) => (draw ? [draw] : []))
  const flags = await openFlags(desk.db, { draws, timeZone: desk.timeZone })
  return new Set([...flags].filter(([, list]) => list.length > 0).map(([id]) => id))
}
