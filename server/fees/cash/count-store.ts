import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import { balanceOf } from '../../../domain/fees/ledger.ts'
import { type Minor, minor } from '../../../domain/money/money.ts'
import { type Approval, approvals } from '../../book/approvals.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { groupAccount } from '../ledger/account-store.ts'
import { transfersByCause } from '../ledger/cause-store.ts'
import { addTransfer, listTransfers, type WrittenTransfer } from '../ledger/transfer-store.ts'

/** What is counted: the cash box, or the reserve for the pump, which is kept apart. */
export const COUNTED = ['cash', 'reserve'] as const
export type Counted = (typeof COUNTED)[number]

interface NewCount {
  countedOn: CalendarDate
  countedMinor: number
  column: Counted
  /** The other person at the table. */
  secondId: string
}

export interface CashCount extends NewCount {
  id: string
  writerName: string
  writtenAt: Instant
  secondName: string
  /** The second person's own name, put under the count at their own sign-in; a person without a sign-in has none. */
  approval: Approval | null
  /** What the counted column of the book holds at the end of that day, with everything that is known today. */
  bookMinor: Minor
  /** Counted less book: below zero is short. What was explained counts no more. */
  differenceMinor: Minor
  explained: WrittenTransfer | null
}

export async function recordCount(
  pen: Pen,
  { countedOn, countedMinor, secondId, column = 'cash' }: Omit<NewCount, 'column'> & { column?: Counted },
): Promise<string> {
  const row = { countedOn, countedMinor, secondId }
  const apart = column === 'cash' ? [] : [{ moneyColumn: column }]
  return appendEntry(pen, { kind: 'cash-count' }, { cashCount: [row], countedColumn: apart })
}

/** Every count, the first first. */
export async function listCounts(db: Database): Promise<CashCount[]> {
  const rows = await db
    .selectFrom('cashCount')
    .innerJoin('entry', 'entry.id', 'cashCount.entryId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .innerJoin('person as second', 'second.entryId', 'cashCount.secondId')
    .select(['entry.id', 'countedOn', 'countedMinor', 'secondId', 'writer.name as writer', 'second.name as second'])
    .leftJoin('countedColumn', 'countedColumn.entryId', 'cashCount.entryId')
    .select(['entry.writtenAt', 'moneyColumn'])
    .where(standing('cashCount'))
    .orderBy('entry.seq')
    .execute()
  const [transfers, causes, named] = [await listTransfers(db), await transfersByCause(db), await approvals(db)]
  const accounts = { cash: await groupAccount(db, 'cash'), reserve: await groupAccount(db, 'reserve') }
  return rows.map((row) => {
    const column: Counted = row.moneyColumn === 'reserve' ? 'reserve' : 'cash'
    const accountId = accounts[column]
    const explained = causes.get(row.id) ?? null
    const bookMinor = balanceOf({ transfers, accountId, asOf: row.countedOn })
    // An explanation of a later day still belongs to this count.
    const later = explained && explained.on > row.countedOn ? balanceOf({ transfers: [explained], accountId }) : 0
    return {
      id: row.id,
      countedOn: row.countedOn,
      countedMinor: row.countedMinor,
      column,
      secondId: row.secondId,
      writerName: row.writer,
      writtenAt: row.writtenAt,
      secondName: row.second,
      approval: named.get(row.id) ?? null,
      bookMinor,
      differenceMinor: minor(row.countedMinor - bookMinor - later),
      explained,
    }
  })
}

/**
 * Lets the book follow the coins, with words: what is short or over goes to an account of its own. Nothing is written
 * where a forgotten voucher or receipt has closed the difference meanwhile.
 */
export async function explainCount(
  pen: Pen,
  { count, words, onDate }: { count: CashCount; words: string; onDate: CalendarDate },
): Promise<string> {
  const [cash, other] = [await groupAccount(pen.trx, count.column), await groupAccount(pen.trx, 'short-and-over')]
  const short = count.differenceMinor < 0
  const moved = {
    kind: 'correction',
    debitAccountId: short ? other : cash,
    creditAccountId: short ? cash : other,
    amountMinor: Math.abs(count.differenceMinor),
    onDate,
    words,
  } as const
  return addTransfer(pen, moved, {}, { transferCause: [{ causeId: count.id }] })
}
