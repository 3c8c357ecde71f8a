import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
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
  writtenAt: string
}

export async function recordStatement(
  pen: Pen,
  { column, toOn, closingMinor, lines }: Pick<MoneyStatement, 'column' | 'toOn' | 'closingMinor' | 'lines'>,
): Promise<string> {
  const head = { money_column: column, to_on: toOn, closing_minor: closingMinor }
  const rows = lines.map(({ on, amountMinor, words }, at) => ({
    on_date: on,
    amount_minor: amountMinor,
    words,
    place: at + 1,
  }))
  return appendEntry(pen, { kind: 'money-statement' }, { money_statement: [head], money_statement_line: rows })
}

export async function listMoneyStatements(db: Database): Promise<MoneyStatement[]> {
  const rows = await db
    .selectFrom('money_statement')
    .innerJoin('entry', 'entry.id', 'money_statement.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .where(standing('money_statement'))
    .select(['entry.id', 'money_column', 'to_on', 'closing_minor', 'person.name', 'entry.written_at'])
    .orderBy('entry.seq')
    .execute()
  const lines = group(
    await db.selectFrom('money_statement_line').selectAll().orderBy('place').execute(),
    (line) => line.entry_id,
  )
  return rows.map((row) => ({
    id: row.id,
    column: row.money_column as MoneyStatement['column'],
    toOn: row.to_on,
    closingMinor: row.closing_minor,
    lines: (lines.get(row.id) ?? []).map((line) => ({
      on: line.on_date,
      amountMinor: line.amount_minor,
      words: line.words,
    })),
    writerName: row.name,
    writtenAt: row.written_at,
  }))
}
