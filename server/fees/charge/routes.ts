import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { isCalendarDate } from '../../../domain/calendar.ts'
import { openFlags } from '../../abstractions/plausibility/store.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { readForm } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { ChargesForm } from '../forms.ts'
import { listAccounts } from '../ledger/account-store.ts'
import { findTransfer } from '../ledger/transfer-store.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { listTariffs } from '../tariff/store.ts'
import { chargesShown, seenMark } from './pages.ts'
import { type Reckoning, reckonCharges } from './reckoning.ts'
import { postCharges } from './store.ts'
import { chargeWorking } from './working.ts'

type WithId = { Params: { id: string } }
type UpTo = { Querystring: { toOn?: string } }

/** Charges from logged volumes: seen before they are posted, and each opens to how it was reckoned. */
export function addChargeRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<UpTo>('/charges/new', { preHandler: may('charges.post') }, async (request, reply) => {
    const { today } = request.visit
    const { toOn = today } = request.query
    return showCharges(request, reply, { toOn: isCalendarDate(toOn) && toOn <= today ? toOn : today })
  })

  app.post('/charges', { preHandler: may('charges.post') }, async (request, reply) => {
    const form = readForm(ChargesForm, request.body)
    const { today } = request.visit
    if (!form.ok || form.data.toOn > today) return showCharges(request, reply, { toOn: today, changed: true })
    const { toOn, seen } = form.data
    const reckoning = await reckonCharges(db, { toOn })
    if (reckoning.due.length === 0 || seenMark(reckoning) !== seen) {
      return showCharges(request, reply, { toOn, changed: true })
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => postCharges(pen, { toOn, onDate: today }),
      () => '/money',
    )
  })

  app.get<WithId>('/charges/:id', { preHandler: may('money.see-own') }, async (request, reply) => {
    const transfer = await findTransfer(db, request.params.id)
    const accounts = await listAccounts(db)
    const member = accounts.find(
      ({ id, personId }) => personId && (id === transfer?.debitAccountId || id === transfer?.creditAccountId),
    )
    onlyMoneyOf(request, member?.personId)
    const working = transfer && member && (await chargeWorking(db, request, { transfer, member }))
    return workingPage({ request, reply }, found(working ?? undefined))
  })

  async function showCharges(
    request: FastifyRequest,
    reply: FastifyReply,
    { toOn, changed = false }: { toOn: string; changed?: boolean },
  ) {
    if (changed) reply.code(409)
    const reckoning = await reckonCharges(db, { toOn })
    const odd = await oddDraws(request, reckoning)
    const shown = chargesShown(request, reckoning, { tariffs: await listTariffs(db), odd })
    return page({ request, reply }, 'fees/charges', { title: 'fees.charges.title', ...shown, toOn, changed })
  }

  /** Draws that the log has flagged and nobody has settled, so that no odd reading is charged unseen. */
  async function oddDraws(request: FastifyRequest, { due }: Reckoning): Promise<Set<string>> {
    const draws = due.flatMap(({ draw }) => (draw ? [draw] : []))
    const flags = await openFlags(db, { draws, timeZone: request.visit.group?.timeZone ?? 'UTC' })
    return new Set([...flags].filter(([, list]) => list.length > 0).map(([id]) => id))
  }
}
