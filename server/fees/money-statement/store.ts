import { group } from 'd3-array'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
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
  writerName: string
  writtenAt: Instant
}

export async function recordStatement(
  pen: Pen,
  { column, toOn, closingMinor, lines }: Pick<MoneyStatement, 'column' | 'toOn' | 'closingMinor' | 'lines'>,
): Promise<string> {
  const head = { moneyColumn: column, toOn, closingMinor }
  const rows = lines.map(({ on, amountMinor, words }, at) => ({
    onDate: on,
    amountMinor,
    words,
    place: at + 1,
  }))
  return appendEntry(pen, { kind: 'money-statement' }, { moneyStatement: [head], moneyStatementLine: rows })
}

const statementRows = readTogether('money', (db) =>
  db
    .selectFrom('moneyStatement')
    .innerJoin('entry', 'entry.id', 'moneyStatement.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .where(standing('moneyStatement'))
    .select(['entry.id', 'moneyColumn', 'toOn', 'closingMinor', 'person.name', 'entry.writtenAt'])
    .orderBy(asWritten),
)

const lineRows = readTogether('money', (db) => db.selectFrom('moneyStatementLine').selectAll().orderBy('place'))

export async function listMoneyStatements(db: Database): Promise<MoneyStatement[]> {
  const rows = await statementRows(db)
  const lines = group(await lineRows(db), (line) => line.entryId)
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
    writerName: row.name,
    writtenAt: row.writtenAt,
  }))
}
