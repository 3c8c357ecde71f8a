import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { isCalendarDate } from '../../domain/calendar.ts'
import { findAbstraction } from '../abstractions/abstraction-store.ts'
import { openFlags } from '../abstractions/flag-store.ts'
import type { Parts } from '../app.ts'
import { found } from '../web/errors.ts'
import { readForm } from '../web/forms.ts'
import { may } from '../web/guard.ts'
import { page } from '../web/page.ts'
import { write } from '../web/pen.ts'
import { type WorkingLine, workingPage } from '../web/working.ts'
import { listAccounts } from './account-store.ts'
import { chargesShown, seenMark, whatOf } from './charge-pages.ts'
import { type ChargeLine, chargeLines, postCharges } from './charge-store.ts'
import { drawHistory } from './first-ids.ts'
import { ChargesForm } from './forms.ts'
import { moneyWords } from './money-words.ts'
import { onlyMoneyOf } from './privacy.ts'
import { type Reckoning, reckonCharges } from './reckoning.ts'
import { listTariffs } from './tariff-store.ts'
import { isPlain, lineWords } from './tariff-words.ts'
import { findTransfer, transfersOf, type WrittenTransfer } from './transfer-store.ts'

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
    const charged = found(transfer?.abstractionId ? transfer : undefined)
    return showWorking(request, reply, charged, member!)
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
    return page(request, reply, 'fees/charges', { title: 'fees.charges.title', ...shown, toOn, changed })
  }

  /** Draws that the log has flagged and nobody has settled, so that no odd reading is charged unseen. */
  async function oddDraws(request: FastifyRequest, { due }: Reckoning): Promise<Set<string>> {
    const draws = due.flatMap(({ draw }) => (draw ? [draw] : []))
    const flags = await openFlags(db, { draws, timeZone: request.visit.group?.timeZone ?? 'UTC' })
    return new Set([...flags].filter(([, list]) => list.length > 0).map(([id]) => id))
  }

  async function showWorking(
    request: FastifyRequest,
    reply: FastifyReply,
    transfer: WrittenTransfer,
    member: { id: string; personId: string | null },
  ) {
    const { locale, format } = request.visit
    const words = moneyWords(request.visit)
    const draw = found(await findAbstraction(db, transfer.abstractionId!))
    const lines = (await chargeLines(db)).get(transfer.id) ?? []
    const before = await postedBefore(transfer, member.id)
    const what = { what: whatOf(request, draw), date: format.date(draw.onDate) }
    const amount = words.money(Math.abs(transfer.amountMinor))
    const givenBack = transfer.creditAccountId === member.id
    return workingPage(request, reply, {
      title: 'fees.working.title',
      titleValues: what,
      result: locale.t(givenBack ? 'fees.working.given-back' : 'fees.working.result', { ...what, amount }),
      ...(draw.grade === 'estimated' && { doubt: locale.t('fees.working.estimated') }),
      lines: [
        {
          label: locale.t('fees.working.volume'),
          value: locale.t('fees.cubic-metres', { volume: format.toLitre(draw.volumeM3) }),
          date: draw.onDate,
          href: `/abstractions/${draw.id}`,
          source: locale.t(`fees.grade.${draw.grade}`),
        },
        ...(await dueLines(request, lines)),
        ...before.map((earlier) => ({
          label: locale.t('fees.working.before'),
          value: words.money(earlier.debitAccountId === member.id ? earlier.amountMinor : -earlier.amountMinor),
          date: earlier.on,
          href: `/charges/${earlier.id}`,
        })),
      ],
      equation: locale.t(transfer.correctsId ? 'fees.working.equation-follow-up' : 'fees.working.equation'),
      source: locale.t('fees.working.source'),
      back: `/statements/${member.personId}`,
    })
  }

  async function dueLines(request: FastifyRequest, lines: readonly ChargeLine[]): Promise<WorkingLine[]> {
    const { locale } = request.visit
    const words = moneyWords(request.visit)
    const tariffs = new Map((await listTariffs(db)).map((tariff) => [tariff.id, tariff]))
    return lines.flatMap((line) => {
      const tariff = found(tariffs.get(line.tariffId))
      if (!isPlain(tariff)) {
        return [
          {
            label: lineWords(request, line),
            value: words.money(line.amountMinor),
            date: tariff.fromOn,
            href: `/tariffs/${tariff.id}`,
          },
        ]
      }
      return [
        {
          label: locale.t('fees.working.price'),
          value: words.money(tariff.perM3Minor),
          date: tariff.fromOn,
          href: `/tariffs/${tariff.id}`,
        },
        { label: locale.t('fees.working.due'), value: words.money(line.amountMinor) },
      ]
    })
  }

  /** What had been posted for the same draw and the same person when this transfer was written. */
  async function postedBefore(transfer: WrittenTransfer, accountId: string): Promise<WrittenTransfer[]> {
    const { firstId } = await drawHistory(db)
    const first = firstId(transfer.abstractionId!)
    return (await transfersOf(db, accountId)).filter(
      (one) => one.abstractionId !== null && one.seq < transfer.seq && firstId(one.abstractionId) === first,
    )
  }
}
