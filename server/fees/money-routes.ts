import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { arrearsAgeing, balanceOf, settleOldestFirst, trialBalance } from '../../domain/fees/index.ts'
import { sum } from '../../domain/sum.ts'
import type { Parts } from '../parts.ts'
import { moneyWords } from '../web/figures/money-words.ts'
import { may } from '../web/pages/guard.ts'
import { page } from '../web/pages/page.ts'
import { moneyAsked } from './asked.ts'
import { reckonCharges } from './charge/reckoning.ts'
import { HELD_COLUMNS, listAccounts, memberAccount } from './ledger/account-store.ts'
import { byAccount, listTransfers, transfersOf, type WrittenTransfer } from './ledger/transfer-store.ts'
import { listPayers, type Payer } from './payers.ts'
import { seesAllMoney } from './privacy.ts'
import { approvedTariffs } from './tariff/store.ts'

/** The first page of the room: everybody's own balance, and for treasurer and auditor the whole. */
export function addMoneyRoutes(app: FastifyInstance, { db }: Parts): void {
  app.get('/', { preHandler: may('money.see-own') }, async (request, reply) => {
    const own = await ownBalance(request)
    if (!seesAllMoney(request)) {
      return page({ request, reply }, 'fees/money', {
        title: 'fees.title',
        own,
        asked: await moneyAsked(db, request),
        all: null,
      })
    }
    return showAll(request, reply, own)
  })

  async function ownBalance(request: FastifyRequest): Promise<string | null> {
    const accountId = await memberAccount(db, request.person!.id)
    if (!accountId) return null
    const transfers = await transfersOf(db, accountId)
    return moneyWords(request.visit).balance(balanceOf({ transfers, accountId }))
  }

  async function showAll(request: FastifyRequest, reply: FastifyReply, own: string | null) {
    const { today } = request.visit
    const words = moneyWords(request.visit)
    const transfers = await listTransfers(db)
    const balances = new Map(
      trialBalance({ transfers }).accounts.map(({ accountId, balanceMinor }) => [accountId, balanceMinor]),
    )
    const accounts = await listAccounts(db)
    const payers = [...(await listPayers(db)).values()].sort((a, b) => a.number - b.number)
    const waiting = await reckonCharges(db, { toOn: today })
    const held = (code: string) => balances.get(accounts.find((account) => account.code === code)?.id ?? '') ?? 0
    const owed: number[] = payers.map((payer) => balances.get(payer.accountId) ?? 0)
    const all = {
      columns: HELD_COLUMNS.map((code) => ({ code, amount: words.money(held(code)) })),
      waiting: { count: waiting.due.length, total: words.money(waiting.totalMinor) },
      needsTariff: (await approvedTariffs(db)).length === 0,
      unpriced: waiting.withoutTariff.length,
      nobody: waiting.withoutPayer.length,
      members: payers.map((payer, at) => ({
        personId: payer.personId,
        number: payer.number,
        name: payer.name,
        toPay: words.moneyOrNothing(Math.max(0, owed[at]!)),
        ahead: words.moneyOrNothing(Math.max(0, -owed[at]!)),
      })),
      toPay: words.money(sum(owed, (amount) => Math.max(0, amount))),
      ahead: words.money(sum(owed, (amount) => Math.max(0, -amount))),
      ages: agesShown(request, payers, transfers),
    }
    return page({ request, reply }, 'fees/money', {
      title: 'fees.title',
      own,
      asked: await moneyAsked(db, request),
      all,
    })
  }
}

/** How long the open charges of all members have been open, without names. */
function agesShown(request: FastifyRequest, payers: readonly Payer[], transfers: readonly WrittenTransfer[]) {
  const ofAccount = byAccount(transfers)
  const charges = payers.flatMap(
    ({ accountId }) => settleOldestFirst({ transfers: ofAccount.get(accountId) ?? [], accountId }).charges,
  )
  const { bands, totalMinor } = arrearsAgeing({ charges, asOf: request.visit.today })
  if (totalMinor === 0) return []
  return bands.map(({ overDays, toDays, amountMinor }) => ({
    overDays,
    toDays,
    amount: moneyWords(request.visit).money(amountMinor),
  }))
}
