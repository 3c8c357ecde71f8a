import { addDays } from '../../../domain/calendar.ts'
import type { ReconcileInput } from '../../../domain/fees/reconcile/types.ts'
import { sum } from '../../../domain/sum.ts'
import type { Database } from '../../database/connection.ts'
import { cashBook } from '../cash/book.ts'
import { type CashCount, lastCount, listCounts, unnamed as unnamedCount } from '../cash/count-store.ts'
import type { Account, HeldColumn } from '../ledger/account-store.ts'
import type { WrittenTransfer } from '../ledger/transfer-store.ts'
import { statementMatch } from '../money-statement/match.ts'
import { listMoneyStatements, type MoneyStatement } from '../money-statement/store.ts'

/** Lines of the last days before a statement's end may still be on their way. Common practice, no source. */
const ON_THEIR_WAY_DAYS = 3

/** Coins counted and balances stated within a period, carried to its end by the lines of the book that follow them. */
export async function countedIn(
  db: Database,
  span: { transfers: readonly WrittenTransfer[]; accounts: readonly Account[]; from: string; to: string },
) {
  const { from, to } = span
  const counts = (await listCounts(db)).filter(({ countedOn }) => countedOn >= from && countedOn <= to)
  const [count, reserveCount] = [lastCount(counts, 'cash'), lastCount(counts, 'reserve')]
  const all = (await listMoneyStatements(db)).filter(({ toOn }) => toOn >= from && toOn <= to)
  const statements = (['wallet', 'bank'] as const).flatMap(
    (column) => lastStatement(all.filter((statement) => statement.column === column)) ?? [],
  )
  const bookAt = (column: HeldColumn, on: string) =>
    cashBook({ ...span, from: '0001-01-01', to: on }).closingMinor[column]
  // A count in the middle of the period is carried to its end by the lines of the book that follow it; one that was declined says nothing.
  const carried = (one: CashCount | null) => (one && !one.withheld ? bookAt(one.column, to) + one.openMinor : null)
  const counted: ReconcileInput['counted'] = {
    cashMinor: carried(count),
    reserveMinor: carried(reserveCount),
    unnamed: { cash: count && unnamedCount(count), reserve: reserveCount && unnamedCount(reserveCount) },
    inTransitMinor: {},
  }
  for (const statement of statements) {
    const { column, toOn, closingMinor } = statement
    counted.unnamed![column] = statement.unnamed
    if (statement.unnamed === 'declined') continue
    counted[column === 'wallet' ? 'walletMinor' : 'bankMinor'] =
      closingMinor + bookAt(column, to) - bookAt(column, toOn)
    counted.inTransitMinor![column] = onTheirWayMinor(statement, span)
  }
  const stated = statements.map(({ column, id, toOn, closingMinor, unnamed }) => ({
    column,
    id,
    toOn,
    closingMinor,
    unnamed,
  }))
  return { counted, count, reserveCount, counts, statements: stated }
}

/** The last that nobody declined, or the last of all where each was. */
function lastStatement(own: readonly MoneyStatement[]): MoneyStatement | undefined {
  return own.findLast(({ unnamed }) => unnamed !== 'declined') ?? own.at(-1)
}

/** Lines of the book's last days that the statement does not have yet; only a statement with lines can tell. */
function onTheirWayMinor(
  statement: MoneyStatement,
  { transfers, accounts }: { transfers: readonly WrittenTransfer[]; accounts: readonly Account[] },
): number {
  if (statement.lines.length === 0) return 0
  const match = statementMatch(statement, { transfers, accounts })
  const late = match.onlyInBook.filter(({ on }) => on > addDays(statement.toOn, -ON_THEIR_WAY_DAYS))
  return sum(late, (line) => line.amountMinor)
}
