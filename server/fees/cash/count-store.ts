import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import { balanceOf, touches } from '../../../domain/fees/ledger.ts'
import type { UnnamedCount } from '../../../domain/fees/reconcile/difference.ts'
import type { Id } from '../../../domain/id.ts'
import { type Minor, minor } from '../../../domain/money/money.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { type Approval, approvals } from '../../book/names/approvals.ts'
import { listWithheld, type Withheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { type Counted, groupAccount } from '../ledger/account-store.ts'
import { transfersByCause } from '../ledger/cause-store.ts'
import { listTransfers, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { type CountDecision, decisionsByCount } from './decision-store.ts'

interface NewCount {
  countedOn: CalendarDate
  countedMinor: number
  column: Counted
  /** The other person at the table. */
  secondId: string
}

/** A line of the book about a day up to the count, written after it. */
type LaterLine = Pick<WrittenTransfer, 'id' | 'on' | 'kind' | 'words' | 'writerName' | 'writtenAt'> & {
  movedMinor: Minor
}

export interface CashCount extends NewCount {
  id: string
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
  secondName: string
  /** The second person's own name, put under the count at their own sign-in; a person without a sign-in has none. */
  approval: Approval | null
  /** Declined by the second or withdrawn by the writer; left out in periods that were closed before it was told. */
  withheld?: Withheld | null
  /** What the book said of that column when the coins were counted; it stays so for ever. */
  bookMinor: Minor
  /** Counted less that: below zero is short. */
  differenceMinor: Minor
  /** What is left of it by the book as it stands today, with what was written later and what was written off. */
  openMinor: Minor
  /** What was written after the count about days up to it; it changes nothing of what was counted and said. */
  later: LaterLine[]
  decisions: CountDecision[]
}

export async function recordCount(
  pen: Pen,
  { countedOn, countedMinor, secondId, column = 'cash' }: Omit<NewCount, 'column'> & { column?: Counted },
): Promise<string> {
  const accountId = await groupAccount(pen.trx, column)
  const bookMinor = balanceOf({ transfers: await listTransfers(pen.trx), accountId, asOf: countedOn })
  const row = { countedOn, countedMinor, secondId, bookMinor }
  const apart = column === 'cash' ? [] : [{ moneyColumn: column }]
  return appendEntry(pen, { kind: 'cash-count' }, { cashCount: [row], countedColumn: apart })
}

/** Every count, the first first. */
export function listCounts(db: Database): Promise<readonly CashCount[]> {
  return kept(db, 'cash counts', null, () => readCounts(db))
}

/** Why a count is not the word of two people yet; null for one that is, and in a period closed before this was asked. */
export function unnamed({ approval, withheld }: Pick<CashCount, 'approval' | 'withheld'>): UnnamedCount | null {
  if (approval || withheld === undefined) return null
  return withheld ? 'declined' : 'waits'
}

/** The last count of a column that nobody declined, or the last of all where each was. */
export function lastCount<C extends Pick<CashCount, 'column' | 'withheld'>>(counts: readonly C[], column: Counted) {
  const own = counts.filter((one) => one.column === column)
  return own.findLast(({ withheld }) => !withheld) ?? own.at(-1) ?? null
}

/** The last count of each column where it still waits for the name of the second. */
export async function waitingCounts(db: Database): Promise<CashCount[]> {
  const counts = await listCounts(db)
  const last = (['cash', 'reserve'] as const).flatMap((column) => lastCount(counts, column) ?? [])
  return last.filter((count) => unnamed(count) === 'waits')
}

async function readCounts(db: Database): Promise<CashCount[]> {
  const rows = await countRows(db)
  const [transfers, causes, named] = [await listTransfers(db), await transfersByCause(db), await approvals(db)]
  const [decisions, withheld] = [await decisionsByCount(db, causes), await listWithheld(db)]
  const accounts = { cash: await groupAccount(db, 'cash'), reserve: await groupAccount(db, 'reserve') }
  return rows.map(({ seq, moneyColumn, bookMinor: told, ...row }) => {
    const column: Counted = moneyColumn === 'reserve' ? 'reserve' : 'cash'
    const { id, countedOn, countedMinor } = row
    const accountId = accounts[column]
    const own = [...followed(id, causes.get(id)), ...(decisions.get(id) ?? [])]
    const settled = new Set(own.map(({ transfer }) => transfer?.id))
    const upToThen = transfers.filter(({ on }) => on <= countedOn)
    const known = upToThen.filter((one) => one.seq < seq)
    const later = upToThen.filter((one) => one.seq > seq && touches(one, accountId) && !settled.has(one.id))
    const bookMinor = minor(told ?? balanceOf({ transfers: known, accountId }))
    const moved = own.flatMap(({ transfer }) => transfer ?? [])
    return {
      ...row,
      column,
      approval: named.get(id) ?? null,
      withheld: withheld.get(id) ?? null,
      bookMinor,
      differenceMinor: minor(countedMinor - bookMinor),
      openMinor: minor(countedMinor - bookMinor - balanceOf({ transfers: [...later, ...moved], accountId })),
      later: later.map((one) => laterLine(one, accountId)),
      decisions: own,
    }
  })
}

const countRows = readTogether('money', (db) =>
  db
    .selectFrom('cashCount')
    .innerJoin('entry', 'entry.id', 'cashCount.entryId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .innerJoin('person as second', 'second.entryId', 'cashCount.secondId')
    .leftJoin('countedColumn', 'countedColumn.entryId', 'cashCount.entryId')
    .select(['entry.id', 'entry.seq', 'entry.writtenAt', 'entry.writtenBy as writerId', 'writer.name as writerName'])
    .select(['countedOn', 'countedMinor', 'bookMinor', 'secondId', 'second.name as secondName', 'moneyColumn'])
    .where(standing('cashCount'))
    .orderBy(asWritten),
)

function laterLine(transfer: WrittenTransfer, accountId: Id<'account'>): LaterLine {
  const { id, on, kind, writerName, writtenAt } = transfer
  const words = transfer.reason ?? transfer.words
  return { id, on, kind, words, writerName, writtenAt, movedMinor: balanceOf({ transfers: [transfer], accountId }) }
}

/** Before a write-off needed names, the book was let follow the coins by the transfer alone. */
function followed(countId: string, transfer: WrittenTransfer | undefined): CountDecision[] {
  if (!transfer) return []
  const { id, words, writerName, writtenAt, amountMinor } = transfer
  const said = { id, countId, words: words ?? '', writerName, writtenAt, amountMinor, minute: null }
  return [{ ...said, way: 'followed', names: [], withheld: null, transfer }]
}
