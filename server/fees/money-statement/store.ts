import { group } from 'd3-array'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { UnnamedCount } from '../../../domain/fees/reconcile/difference.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { type Approval, approvals } from '../../book/names/approvals.ts'
import { listWithheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface MoneyStatementLine {
  on: CalendarDate
  amountMinor: number
  words: string
}

/** What the bank or the wallet says: its balance at the end of a day, and its lines where they were brought in. */
export interface MoneyStatement {
  id: string
  column: 'wallet' | 'bank'
  toOn: CalendarDate
  closingMinor: number
  lines: MoneyStatementLine[]
  /** Whether somebody else was asked to look at the paper; who did. */
  isAsked: boolean
  approval: Approval | null
  /** Why nobody but its writer stands for it yet; null for one that is two people's word, or was never asked to be. */
  unnamed: UnnamedCount | null
  writerName: string
  writtenAt: Instant
}

export async function recordStatement(
  pen: Pen,
  { column, toOn, closingMinor, lines }: Pick<MoneyStatement, 'column' | 'toOn' | 'closingMinor' | 'lines'>,
  asks: Facts = {},
): Promise<string> {
  const head = { moneyColumn: column, toOn, closingMinor }
  const rows = lines.map(({ on, amountMinor, words }, at) => ({
    onDate: on,
    amountMinor,
    words,
    place: at + 1,
  }))
  return appendEntry(pen, { kind: 'money-statement' }, { moneyStatement: [head], moneyStatementLine: rows, ...asks })
}

const statementRows = readTogether('money', (db) =>
  db
    .selectFrom('moneyStatement')
    .innerJoin('entry', 'entry.id', 'moneyStatement.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .leftJoin('nameNeeded', 'nameNeeded.entryId', 'entry.id')
    .where(standing('moneyStatement'))
    .select(['entry.id', 'moneyColumn', 'toOn', 'closingMinor', 'person.name', 'entry.writtenAt'])
    .select('nameNeeded.entryId as askedId')
    .orderBy(asWritten),
)

const lineRows = readTogether('money', (db) => db.selectFrom('moneyStatementLine').selectAll().orderBy('place'))

export async function listMoneyStatements(db: Database): Promise<MoneyStatement[]> {
  const rows = await statementRows(db)
  const lines = group(await lineRows(db), (line) => line.entryId)
  const [named, withheld] = [await approvals(db), await listWithheld(db)]
  return rows.map((row) => ({
    id: row.id,
    column: row.moneyColumn as MoneyStatement['column'],
    toOn: row.toOn,
    closingMinor: row.closingMinor,
    lines: (lines.get(row.id) ?? []).map((line) => ({
      on: line.onDate,
      amountMinor: line.amountMinor,
      words: line.words,
    })),
    isAsked: row.askedId !== null,
    approval: named.get(row.id) ?? null,
    unnamed: row.askedId === null || named.has(row.id) ? null : withheld.has(row.id) ? 'declined' : 'waits',
    writerName: row.name,
    writtenAt: row.writtenAt,
  }))
}
