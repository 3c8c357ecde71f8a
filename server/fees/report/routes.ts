import { rollups } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import { daysLostTo } from '../../../domain/works/fault.ts'
import { endOfBook } from '../../book/verify.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { daysOf, type Fault, fixCosts, listFaults, type ServiceState, serviceStates } from '../../works/fault/store.ts'
import { lastCount, listCounts } from '../cash/count-store.ts'
import { gapWords, resultWords } from '../cash/words.ts'
import { listClosings } from '../closing/store.ts'
import type { Counted } from '../ledger/account-store.ts'
import { heldIn } from '../ledger/cash-store.ts'
import { listTransfers } from '../ledger/transfer-store.ts'
import { otherIncomes } from '../other-money/store.ts'
import { fewPayers } from '../payer/few.ts'
import { type PeriodBooks, periodBooks } from '../reconcile/books.ts'
import { periodShown } from '../reconcile/pages.ts'
import { listVouchers } from '../voucher/store.ts'
import { fairBars, moneyBars, weirBars } from './season-bars.ts'

/** The season told aloud, without a name of anybody who owes. */
export function addReportPages({ get }: Pages): void {
  get('/money/report', 'closing.see', showSeasonReport)
}

async function showSeasonReport(desk: Desk) {
  const { group, today } = desk
  const to = [group.seasonEndOn, today].toSorted()[0]!
  const books = await periodBooks(desk.db, { from: group.seasonStartOn, to, today })
  const few = await fewPayers(desk.db, books)
  const { format } = desk
  return page(desk, 'fees/season-report', {
    title: 'report.title',
    span: { from: format.date(books.from), to: format.date(books.to) },
    water: waterParagraph(desk, books),
    weirBars: await weirBars(desk, books),
    fairBars: await fairBars(desk),
    // Over few payers the sums would tell each one's own.
    moneyBars: few ? null : moneyBars(desk, books),
    money: [...(few ? [desk.t('report.few')] : owedParagraph(desk, books)), ...(await spentParagraph(desk, books))],
    checked: await checkedParagraph(desk, books),
    bookEnd: await endOfBook(desk.db),
    downtime: await downtime(desk, { fromOn: group.seasonStartOn, toOn: to }),
  })
}

async function spentParagraph(desk: Desk, books: PeriodBooks): Promise<string[]> {
  const { locale } = desk
  const { money } = moneyWords(desk)
  const paid = (await listVouchers(desk.db)).filter(
    ({ payout }) => payout && payout.on >= books.from && payout.on <= books.to,
  )
  const sums = rollups(
    paid,
    (own) => sum(own, (one) => one.amountMinor),
    ({ category }) => category,
  ).map(([category, sum]) => `${locale.t(`vouchers.category.${category}`)} ${money(sum)}`)
  const transfers = await listTransfers(desk.db)
  const reserve = await heldIn(desk.db, 'reserve')
  const inDays = transfers.filter(({ on }) => on >= books.from && on <= books.to)
  const heldMinor = sum(
    inDays.filter(({ kind }) => kind === 'cost'),
    ({ amountMinor }) => amountMinor,
  )
  if (heldMinor > 0) sums.push(locale.t('report.held-fees', { amount: money(heldMinor) }))
  const incomes = await otherIncomes(desk.db)
  const came = rollups(
    inDays.filter(({ id }) => incomes.has(id)),
    (own) => sum(own, ({ amountMinor }) => amountMinor),
    ({ id }) => incomes.get(id)!.source,
  ).map(([source, amount]) => `${locale.t(`other-money.income.source.${source}`)} ${money(amount)}`)
  return [
    ...(came.length ? [locale.t('report.income', { sums: came.join(', ') })] : []),
    locale.t(sums.length ? 'report.spent' : 'report.spent-nothing', {
      total: money(books.costsMinor),
      sums: sums.join(', '),
      count: paid.length,
    }),
    ...((await fewPayers(desk.db, books)) ? [] : [heldSentence()]),
  ]

  function heldSentence(): string {
    return locale.t('report.held', {
      held: books.columns
        .filter(({ column }) => column !== 'reserve')
        .map(({ column, closingMinor }) => `${locale.t(`fees.payment.column.${column}`)} ${money(closingMinor)}`)
        .join(', '),
      reserve: money(reserve),
    })
  }
}

async function checkedParagraph(desk: Desk, books: PeriodBooks): Promise<string[]> {
  const { format, locale } = desk
  const all = (await listCounts(desk.db)).filter(({ countedOn }) => countedOn >= books.from && countedOn <= books.to)
  const shown = periodShown(desk, books)
  const closings = (await listClosings(desk.db)).filter(({ approval, to }) => approval && to >= books.from)
  const counted = (column: Counted) => {
    const counts = all.filter((one) => one.column === column)
    const last = lastCount(counts, column)
    if (!last) return locale.t(`reconcile.cannot-say.${column}-not-counted`)
    return locale.t(`report.counted-${column}`, {
      count: counts.length,
      date: format.date(last.countedOn),
      result: resultWords(desk, last),
    })
  }
  const reserve = books.columns.find(({ column }) => column === 'reserve')
  return [
    counted('cash'),
    ...(reserve?.inMinor || reserve?.openingMinor ? [counted('reserve')] : []),
    ...all.flatMap((count) => gapWords(desk, count)),
    shown.receipts,
    locale.t('report.findings', { count: shown.findings.length }),
    ...[...shown.findings, ...shown.waiting].map(({ sentence, note }) =>
      note ? `${sentence} ${note.words}` : sentence,
    ),
    locale.t('report.closed', { count: closings.length }),
  ]
}

/** Less is rounded away in the sentence before. */
const TOLD_FROM_M3 = 1

function waterParagraph(desk: Desk, { from, to, water, volumes }: PeriodBooks): string[] {
  const { format, locale } = desk
  const m3 = (volume: number) => format.volume(volume)
  const waitingM3 = volumes.deliveredM3 - volumes.chargedM3 - volumes.freeM3
  return [
    locale.t('report.span', { from: format.date(from), to: format.date(to) }),
    water
      ? locale.t(water.unexplainedM3 < 0 ? 'report.pumped-less' : 'report.pumped', {
          pumped: m3(water.pumpedM3),
          unexplained: m3(Math.abs(water.unexplainedM3)),
          tolerance: m3(water.toleranceM3),
        })
      : locale.t('reconcile.cannot-say.no-pump-reading'),
    ...(volumes.byHandM3 ? [locale.t('report.by-hand', { volume: m3(volumes.byHandM3) })] : []),
    locale.t('report.delivered', {
      delivered: m3(volumes.deliveredM3),
      charged: m3(volumes.chargedM3),
      free: m3(volumes.freeM3),
    }),
    ...(waitingM3 >= TOLD_FROM_M3 ? [locale.t('report.waiting', { waiting: m3(waitingM3) })] : []),
  ]
}

function owedParagraph(desk: Desk, { arrears, indicators, inKindMinor = 0 }: PeriodBooks): string[] {
  const { format, locale } = desk
  const { money } = moneyWords(desk)
  const { openingMinor, chargesMinor, finesMinor } = arrears
  // Fines are told within the charges, so that the sums add up aloud and a single fine is not told by itself.
  return [
    ...(openingMinor ? [locale.t('report.owed-before', { opening: money(openingMinor) })] : []),
    locale.t(finesMinor ? 'report.owed-with-fines' : 'report.owed', {
      charges: money(chargesMinor + finesMinor),
      receipts: money(arrears.receiptsMinor),
      relief: money(arrears.reliefMinor),
      closing: money(arrears.closingMinor),
    }),
    ...(inKindMinor > 0 ? [locale.t('report.in-kind', { amount: money(inKindMinor) })] : []),
    ...(indicators.collectionRatio === null
      ? []
      : [locale.t('report.collected', { percent: format.percent(indicators.collectionRatio) })]),
  ]
}

interface DownFault extends Fault {
  daysLost: number
  /** As it was written with the mending; null where the visitor may not see it. */
  voucherWritten: string | null
  /** The voucher of that number in the cash book, where there is one. */
  voucherId: Id<'voucher'> | null
}

interface PumpDowntime {
  pumpId: Id<'pump'>
  pumpNumber: number
  daysLost: number
  faults: DownFault[]
}

/** What stood still in a span, pump by pump, and the hours to each pump's next service. */
async function downtime(
  desk: Desk,
  { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate },
): Promise<{ pumps: PumpDowntime[]; services: ServiceState[] }> {
  const { db } = desk
  const vouchers = await listVouchers(db)
  const costs = await fixCosts(desk)
  const faults = (await listFaults(db))
    .filter(({ foundOn, fix }) => foundOn <= toOn && (fix === null || fix.fixedOn >= fromOn))
    .map((fault): DownFault => {
      const written = costs.get(fault.fix?.id ?? '')?.voucher ?? null
      const number = written?.match(/\d+/)?.[0]
      const voucher = vouchers.find((one) => String(one.number) === number)
      return {
        ...fault,
        daysLost: daysLostTo({ ...daysOf(fault), today: toOn }),
        voucherWritten: written,
        voucherId: voucher?.id ?? null,
      }
    })
  const pumpIds = [...new Set(faults.map(({ pumpId }) => pumpId))]
  const pumps = pumpIds.map((pumpId): PumpDowntime => {
    const own = faults.filter((fault) => fault.pumpId === pumpId).toSorted((a, b) => a.foundOn.localeCompare(b.foundOn))
    // A fault of one outlet leaves the pump running for the others.
    const ofPump = own.filter(({ outletId }) => outletId === null)
    const daysLost = sum(ofPump, (fault) => fault.daysLost)
    return { pumpId, pumpNumber: own[0]!.pumpNumber, daysLost, faults: own }
  })
  return { pumps: pumps.toSorted((a, b) => a.pumpNumber - b.pumpNumber), services: await serviceStates(db) }
}
