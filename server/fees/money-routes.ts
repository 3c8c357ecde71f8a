import { arrearsAgeing } from '../../domain/fees/arrears/settle.ts'
import { trialBalance } from '../../domain/fees/ledger.ts'
import { sum } from '../../domain/sum.ts'
import { moneyWords } from '../web/figures/money-words.ts'
import type { Desk, Pages } from '../web/pages/desk.ts'
import { longList } from '../web/pages/long-list.ts'
import { page } from '../web/pages/page.ts'
import { owedByAccount } from './arrears/open-state.ts'
import { reckonCharges } from './charge/reckoning.ts'
import { finesUnderAppeal } from './fine/appeal-store.ts'
import { HELD_COLUMNS, listAccounts } from './ledger/account-store.ts'
import { listTransfers } from './ledger/transfer-store.ts'
import { payersByNumber } from './payer/options.ts'
import { moneyAsked } from './pending-state.ts'
import { seesAllMoney } from './privacy.ts'
import { sumBars } from './report/season-bars.ts'
import { ownBalanceMinor } from './statement/balance-state.ts'
import { approvedTariffs } from './tariff/store.ts'

/** The first page of the room: everybody's own balance, and for treasurer and auditor the whole. */
export function addMoneyPages({ get }: Pages): void {
  get('/money', 'money.see-own', showMoney)
}

async function showMoney(desk: Desk) {
  const own = await ownBalance(desk)
  // A member's money is the own account.
  if (own !== null && !desk.may('closing.see')) return desk.reply.redirect(`/money/members/${desk.person.id}`, 303)
  if (!seesAllMoney(desk)) {
    return page(desk, 'fees/money', {
      title: 'fees.title',
      own,
      asked: await moneyAsked(desk),
      all: null,
    })
  }
  return showAll(desk, own)
}

async function ownBalance(desk: Desk): Promise<string | null> {
  const balanceMinor = await ownBalanceMinor(desk)
  return balanceMinor === null ? null : moneyWords(desk).balance(balanceMinor)
}

async function showAll(desk: Desk, own: string | null) {
  const { today } = desk
  const words = moneyWords(desk)
  const transfers = await listTransfers(desk.db)
  const balances = new Map(
    trialBalance({ transfers }).accounts.map(({ accountId, balanceMinor }) => [accountId, balanceMinor]),
  )
  const accounts = await listAccounts(desk.db)
  const payers = await payersByNumber(desk.db)
  const waiting = await reckonCharges(desk.db, { toOn: today })
  const held = (code: string) => balances.get(accounts.find((account) => account.code === code)?.id ?? '') ?? 0
  const owed: number[] = payers.map((payer) => balances.get(payer.accountId) ?? 0)
  const all = {
    heldBars: sumBars(
      desk,
      HELD_COLUMNS.map((code) => ({ name: desk.t(`fees.payment.column.${code}`), minor: held(code) })),
    ),
    waiting: { count: waiting.due.length, total: words.money(waiting.totalMinor) },
    needsTariff: (await approvedTariffs(desk.db)).length === 0,
    unpriced: waiting.withoutTariff.length,
    nobody: waiting.withoutPayer.length,
    members: payers.length,
    list: longList(
      desk,
      payers.map((payer, at) => ({
        at: payer.number,
        words: payer.name,
        figure: words.inRow(Math.abs(owed[at]!)),
        under: desk.t(owed[at]! < 0 ? 'fees.paid-ahead' : owed[at]! > 0 ? 'fees.to-pay' : 'fees.even'),
        href: `/money/members/${payer.personId}`,
        personId: payer.personId,
      })),
    ),
    sums: {
      toPay: words.money(sum(owed, (amount) => Math.max(0, amount))),
      ahead: words.money(sum(owed, (amount) => Math.max(0, -amount))),
    },
    ages: await agesShown(desk),
  }
  return page(desk, 'fees/money', {
    title: 'fees.title',
    own,
    asked: await moneyAsked(desk),
    all,
  })
}

/** How long the open charges of all members have been open, without names and without fines under appeal. */
async function agesShown(desk: Desk) {
  const charges = [...(await owedByAccount(desk.db)).values()].flatMap(({ open }) => open)
  const appealed = await finesUnderAppeal(desk.db)
  const late = charges.filter(({ transferId }) => !appealed.has(transferId))
  const { bands, totalMinor } = arrearsAgeing({ charges: late, asOf: desk.today })
  if (totalMinor === 0) return []
  return sumBars(
    desk,
    bands.map(({ overDays, toDays, amountMinor }) => ({ name: ageLabel(desk, overDays, toDays), minor: amountMinor })),
  )
}

function ageLabel({ t }: Desk, overDays: number, toDays: number | null): string {
  if (toDays === null) return t('fees.age-last', { over: overDays })
  return overDays === 0 ? t('fees.age-first', { to: toDays }) : t('fees.age-band', { from: overDays + 1, to: toDays })
}
