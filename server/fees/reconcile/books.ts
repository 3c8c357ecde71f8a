import { fsum, index } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { arrearsMovement } from '../../../domain/fees/arrears/movement.ts'
import type { Receipt } from '../../../domain/fees/receipt.ts'
import { type CannotSay, type Difference, differenceKey } from '../../../domain/fees/reconcile/difference.ts'
import { type MoneyIndicators, moneyIndicators } from '../../../domain/fees/reconcile/indicators.ts'
import { reconcile } from '../../../domain/fees/reconcile/reconcile.ts'
import type { CashBookLine, PostedSlip, ReconcileInput } from '../../../domain/fees/reconcile/types.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { kept } from '../../book/kept-answers.ts'
import { readAhead } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import { type CashBook, cashBook, WITHOUT_MONEY } from '../cash/book.ts'
import type { CashCount } from '../cash/count-store.ts'
import { drawsAndMoney } from '../charge/reckoning.ts'
import { type Account, HELD_COLUMNS, type HeldColumn, listAccounts } from '../ledger/account-store.ts'
import { causesOfTransfers } from '../ledger/cause-store.ts'
import { listTransfers, type WrittenTransfer } from '../ledger/transfer-store.ts'
import type { MoneyStatement } from '../money-statement/store.ts'
import { listReceiptBooks, type PaperCheck, paperChecks } from '../receipt/book-store.ts'
import { allReceipts, SCREEN_BOOK, type Receipt as WrittenReceipt } from '../receipt/store.ts'
import { daysOfStipends, paidBetween, stipendsPaid } from '../voucher/store.ts'
import { countedIn } from './counted-store.ts'
import { decidedNote, type FindingNote, findingNotes } from './finding-store.ts'
import { actsOfOneName, actsWritten, type OneName } from './one-name-store.ts'
import type { Period } from './period.ts'
import { gatherSlips, waitingCharges } from './waiting.ts'
import { type PeriodWater, periodWater } from './water.ts'

/** A difference with the words that somebody wrote under it. */
export interface Finding {
  key: string
  difference: Difference
  note: Omit<FindingNote, 'finding'> | null
}

/** One look at a period: water, what was owed, what was held. Plain values, so that a closing can keep them. */
export interface PeriodBooks {
  from: string
  to: string
  water: PeriodWater | null
  /** `byHandM3` is what went through no pump; left out in periods that were closed before it was told by itself. */
  volumes: { deliveredM3: M3; deliveredUncertaintyM3: M3; chargedM3: M3; freeM3: M3; byHandM3?: M3 }
  arrears: ReconcileInput['arrears']
  columns: { column: HeldColumn; openingMinor: number; inMinor: number; outMinor: number; closingMinor: number }[]
  receipts: { count: number; voided: number; books: { id: string; name: string | null }[] }
  costsMinor: number
  /** Paid in work or produce; left out in periods that were closed before it was told by itself. */
  inKindMinor?: number
  indicators: MoneyIndicators
  count: CashCount | null
  /** Left out in periods that were closed before the reserve had a count of its own. */
  reserveCount?: CashCount | null
  /** All counts of its days; left out in periods that were closed before counts kept what the book said then. */
  counts?: CashCount[]
  /** Without `unnamed` in periods that were closed before a statement needed a second name. */
  statements: (Pick<MoneyStatement, 'column' | 'id' | 'toOn' | 'closingMinor'> &
    Partial<Pick<MoneyStatement, 'unnamed'>>)[]
  /** Left out in periods that were closed before it was told. */
  oneName?: OneName[]
  findings: Finding[]
  cannotSay: { key: string; what: CannotSay; note: FindingNote | null }[]
}

/** The days of a period; nothing is due yet on those that lie after today. */
type PeriodAsked = Pick<Period, 'from' | 'to'> & { today: CalendarDate }

export function periodBooks(db: Database, asked: PeriodAsked): Promise<PeriodBooks> {
  return kept(db, 'reconciliation', asked, () => reconcileBooks(db, asked))
}

async function reconcileBooks(db: Database, { from, to, today }: PeriodAsked): Promise<PeriodBooks> {
  const [transfers, accounts] = [await listTransfers(db), await listAccounts(db)]
  const { draws, reckoning } = await drawsAndMoney(db, { toOn: to })
  const within = draws.filter(({ draw }) => draw.onDate >= from && draw.onDate <= to)
  const byHandM3 = fsum(within, ({ draw }) => (draw.pumpId === null ? draw.volumeM3 : 0))
  const slips = within.map(slipOf)
  const water = await periodWater(db, { from, to })
  const book = cashBook({ transfers, accounts, from, to })
  const memberAccountIds = new Set(accounts.filter(({ personId }) => personId).map(({ id }) => id))
  const arrears = arrearsMovement({ transfers, memberAccountIds, from, to })
  const written = await allReceipts(db)
  const paper = await paperChecks(db)
  const paperBooks = await listReceiptBooks(db)
  const { counted, count, reserveCount, counts, statements } = await countedIn(db, { transfers, accounts, from, to })
  readAhead(db, actsWritten(db, { from, to }), ...daysOfStipends(db, await paidBetween(db, { from, to })))
  const known = { transfers: index(transfers, ({ id }) => id), causes: await causesOfTransfers(db), from }
  const receipts = written
    .filter(({ transfer }) => transfer.on >= from && transfer.on <= to)
    .map((receipt) => receiptOf(receipt, { accounts, paper, to }))
  const input: ReconcileInput = {
    water,
    slips,
    waiting: await waitingCharges(db, { from, to, today, reckoning, transfers }),
    arrears,
    receipts,
    receiptBooks: [{ bookId: SCREEN_BOOK, firstNumber: 1 }, ...paperBooks.map(firstOf)],
    otherNumbers: written
      .filter(({ transfer }) => transfer.on < from || transfer.on > to)
      .map(({ transfer }) => ({ bookId: transfer.receiptBook!, number: transfer.receiptNumber! })),
    cashBookOpeningMinor: book.openingMinor,
    cashBook: book.lines.map((line) => cashLine(line, known)),
    counted,
    stipends: await stipendsPaid(db, { from, to }),
  }
  const reconciled = reconcile(input)
  const notes = await findingNotes(db)
  const costs = accounts.find(({ code }) => code === 'costs')!.id
  const costsMinor = movedInto(transfers, costs, { from, to })
  const billedMinor = arrears.chargesMinor + arrears.finesMinor
  const { deliveredM3, deliveredUncertaintyM3, chargedM3, freeM3 } = reconciled
  return {
    from,
    to,
    water,
    volumes: { deliveredM3, deliveredUncertaintyM3, chargedM3, freeM3, byHandM3 },
    arrears,
    columns: HELD_COLUMNS.map((column) => columnOf(book, column)),
    receipts: {
      count: receipts.length,
      voided: receipts.filter((receipt) => receipt.voided).length,
      books: paperBooks.map(({ id, name }) => ({ id, name })),
    },
    oneName: await actsOfOneName(db, { from, to }),
    costsMinor,
    inKindMinor: paidInKind(transfers, accounts, { from, to }),
    indicators: moneyIndicators({ billedMinor, collectedMinor: arrears.receiptsMinor, costsMinor, deliveredM3 }),
    count,
    reserveCount,
    counts,
    statements,
    findings: gatherSlips(reconciled.differences).map((difference) => {
      const key = `${from} ${to} ${differenceKey(difference)}`
      return { key, difference, note: notes.get(key) ?? decidedNote(difference.code, { count, reserveCount }) }
    }),
    cannotSay: reconciled.cannotSay.map((what) => {
      const key = `${from} ${to} ${what}`
      return { key, what, note: notes.get(key) ?? null }
    }),
  }
}

type Drawn = Awaited<ReturnType<typeof drawsAndMoney>>['draws'][number]

function slipOf({ draw, dueMinor, postedMinor }: Drawn): PostedSlip {
  const { id: abstractionId, volumeM3, uncertaintyM3 } = draw
  return { abstractionId, volumeM3, uncertaintyM3, dueMinor, postedMinor }
}

function firstOf({ id, firstNumber }: { id: string; firstNumber: number }) {
  return { bookId: id, firstNumber }
}

/** The receipt as its paper has it, where somebody looked, beside what the ledger made of it. */
function receiptOf(
  { transfer, voidedBy }: WrittenReceipt,
  known: { accounts: readonly Account[]; paper: ReadonlyMap<string, PaperCheck>; to: string },
): Receipt {
  const onPaper = known.paper.get(transfer.id)
  const voided = voidedBy !== null && voidedBy.on <= known.to
  const column = known.accounts.find(({ id }) => id === transfer.debitAccountId)!.code as Receipt['column']
  const forAccountId = onPaper
    ? known.accounts.find(({ personId }) => personId === onPaper.personId)!.id
    : transfer.creditAccountId
  return {
    bookId: transfer.receiptBook!,
    number: transfer.receiptNumber!,
    amountMinor: voided ? transfer.amountMinor : (onPaper?.amountMinor ?? transfer.amountMinor),
    column,
    voided,
    forAccountId,
    posted: voided ? null : { accountId: transfer.creditAccountId, amountMinor: transfer.amountMinor },
  }
}

function cashLine(
  { transfer, column, inMinor, outMinor }: CashBook['lines'][number],
  known: { transfers: ReadonlyMap<string, WrittenTransfer>; causes: ReadonlyMap<string, string>; from: string },
): CashBookLine {
  const corrected = known.transfers.get(transfer.correctsId ?? '')
  // A receipt of an earlier period that is taken back in this one has its own period; here it is a line with a reason.
  const receipt =
    transfer.receiptNumber !== null ? transfer : corrected && corrected.on >= known.from ? corrected : null
  return {
    id: transfer.id,
    column,
    inMinor,
    outMinor,
    receipt: receipt?.receiptNumber ? { bookId: receipt.receiptBook!, number: receipt.receiptNumber } : null,
    voucherNumber: transfer.kind === 'payout' && known.causes.has(transfer.id) ? 1 : null,
    internal: ['move', 'opening', 'correction', 'cost'].includes(transfer.kind),
  }
}

function columnOf(book: CashBook, column: HeldColumn): PeriodBooks['columns'][number] {
  const own = book.lines.filter((line) => line.column === column)
  return {
    column,
    openingMinor: book.openingMinor[column],
    inMinor: sum(own, (line) => line.inMinor),
    outMinor: sum(own, (line) => line.outMinor),
    closingMinor: book.closingMinor[column],
  }
}

function paidInKind(
  transfers: readonly WrittenTransfer[],
  accounts: readonly Account[],
  span: { from: string; to: string },
): number {
  const ofKind = accounts.filter(({ code }) => WITHOUT_MONEY.some((kind) => kind === code))
  return sum(ofKind, ({ id }) => movedInto(transfers, id, span))
}

function movedInto(
  transfers: readonly WrittenTransfer[],
  accountId: Id<'account'>,
  { from, to }: { from: string; to: string },
) {
  let movedMinor = 0
  for (const { on, debitAccountId, creditAccountId, amountMinor } of transfers) {
    if (on < from || on > to) continue
    if (debitAccountId === accountId) movedMinor += amountMinor
    if (creditAccountId === accountId) movedMinor -= amountMinor
  }
  return movedMinor
}
