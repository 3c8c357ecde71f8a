import { addDays, daysBetween } from '../../../domain/calendar.ts'
import { listCounts, waitingCounts } from '../../fees/cash/count-store.ts'
import { countFeesDue, unchargedDays } from '../../fees/charge/waiting-state.ts'
import { monthToClose } from '../../fees/closing/month-state.ts'
import { openThisMonth } from '../../fees/reconcile/open-state.ts'
import { approvedTariffs } from '../../fees/tariff/store.ts'
import { listVouchers, NAMES_NEEDED } from '../../fees/voucher/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Due, Line } from './line.ts'

const CHARGE_AFTER_DAYS = 7
const COUNT_EVERY_DAYS = 7

/** For the treasurer: a price, what is to be charged, counted and paid out, and what does not agree; one figure each. */
export async function dueForTreasurer(desk: Desk): Promise<Due> {
  const { t } = desk
  const uncharged = await unchargedDays(desk.db, desk.today)
  const waiting = await charges(desk, uncharged.length)
  const areLate = uncharged.some((on) => on <= addDays(desk.today, -CHARGE_AFTER_DAYS))
  const lines = [
    ...(await price(desk)),
    ...(areLate ? waiting : []),
    ...(await countsWaiting(desk)),
    ...(await cashCount(desk)),
    ...(await payouts(desk)),
    ...(await differences(desk)),
    ...(await lastMonth(desk)),
    ...(areLate ? [] : waiting),
  ]
  return { lines, otherwise: { picture: 'money', words: t('today.take-payment'), href: '/money/pay' } }
}

async function price({ db, t }: Desk): Promise<Line[]> {
  if ((await approvedTariffs(db)).length > 0) return []
  return [{ picture: 'money', words: t('today.price'), small: t('today.price-words'), href: '/money/price' }]
}

/** What waits to be charged: no difference, and urgent only once it is older than a week. */
async function charges({ db, today, t }: Desk, deliveries: number): Promise<Line[]> {
  const fees = await countFeesDue(db, today)
  return [
    { count: deliveries, words: t('today.charges', { count: deliveries }), href: '/money/charges' },
    { count: fees, words: t('today.fees-due', { count: fees }), href: '/money/charges?as=fees' },
  ].flatMap(({ count, words, href }) => (count > 0 ? [{ picture: 'name', words, href }] : []))
}

async function cashCount({ db, today, t, format }: Desk): Promise<Line[]> {
  const days = (await listCounts(db))
    .filter((count) => count.column === 'cash' && !count.withheld)
    .map(({ countedOn }) => countedOn)
  const last = days.sort().at(-1)
  if (last && daysBetween(last, today) <= COUNT_EVERY_DAYS) return []
  return [
    {
      picture: 'count',
      words: t('today.count'),
      small: last ? t('today.count-last', { date: format.date(last) }) : t('today.count-never'),
      figure: last ? t('today.days', { count: daysBetween(last, today) }) : '–',
      href: '/money/count',
    },
  ]
}

/** Counts that nobody but their writer stands for yet. */
async function countsWaiting({ db, t, format }: Desk): Promise<Line[]> {
  return (await waitingCounts(db)).map(({ id, column, countedOn, secondName }) => ({
    picture: 'count',
    words: t(`cash.count.heading-${column}`, { date: format.date(countedOn) }),
    small: t('cash.count.waits', { name: secondName }),
    href: `/money/names/count/${id}`,
  }))
}

async function payouts(desk: Desk): Promise<Line[]> {
  const words = moneyWords(desk)
  const ready = (await listVouchers(desk.db)).filter(
    ({ names, payout, withheld }) => names.length >= NAMES_NEEDED && !payout && !withheld,
  )
  return ready.map(({ id, number, payee, amountMinor }) => ({
    picture: 'money',
    words: desk.t('today.pay-voucher', { number }),
    small: payee,
    figure: words.money(amountMinor),
    href: `/money/names/voucher/${id}`,
  }))
}

async function differences({ db, group, today, t }: Desk): Promise<Line[]> {
  const { differs, href } = await openThisMonth(db, group, today)
  if (differs === 0) return []
  return [{ picture: 'again', words: t('today.differ'), small: t('today.differ-words'), figure: String(differs), href }]
}

/** The month before as long as it is not closed: its page says what of it does not agree, and offers the closing once nothing is open. */
async function lastMonth({ db, group, today, t, format }: Desk): Promise<Line[]> {
  const open = await monthToClose(db, group, today)
  if (!open) return []
  return [{ picture: 'book', words: t('today.close-month', { month: format.month(open.from) }), href: open.href }]
}

/** For the auditor: the month before while nobody has closed it; what is open this month, as its page counts it, or, apart, that all agrees. */
export async function dueForAuditor(desk: Desk): Promise<Due> {
  const { db, group, today, t, format } = desk
  const month = await monthToClose(db, group, today)
  const notClosed = month && {
    picture: 'again',
    words: t('today.not-closed', { month: format.month(month.from) }),
    small: t('today.not-closed-words'),
    href: month.href,
  }
  const { differs, unchecked, href, from } = await openThisMonth(db, group, today)
  const count = differs + unchecked
  const differ = {
    picture: 'again',
    words: t(differs > 0 ? 'today.differ' : 'today.unchecked'),
    small: t(differs > 0 && unchecked > 0 ? 'today.differ-unchecked' : 'today.differ-words', { count: unchecked }),
    figure: String(count),
    href,
  }
  const agrees = {
    picture: 'book',
    words: t('today.agrees', { from: format.date(from) }),
    ...(month ? {} : { small: t('today.agrees-words') }),
    href,
  }
  const lines = [...(notClosed ? [notClosed] : []), ...(await countsWaiting(desk)), ...(count > 0 ? [differ] : [])]
  return { lines, otherwise: agrees, ...(count > 0 ? {} : { apart: agrees }) }
}
