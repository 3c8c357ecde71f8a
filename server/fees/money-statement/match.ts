import { matchStatement } from '../../../domain/fees/reconcile/match-statement.ts'
import { cashBook } from '../cash/book.ts'
import type { Account } from '../ledger/account-store.ts'
import type { WrittenTransfer } from '../ledger/transfer-store.ts'
import type { MoneyStatement } from './store.ts'

/** The statement's lines beside those of the book over the same days. */
export function statementMatch(
  statement: MoneyStatement,
  { transfers, accounts }: { transfers: readonly WrittenTransfer[]; accounts: readonly Account[] },
) {
  const lines = statement.lines.map((line, at) => ({ ...line, id: String(at) }))
  const from = lines.map(({ on }) => on).toSorted()[0] ?? statement.toOn
  const book = cashBook({ transfers, accounts, from, to: statement.toOn })
    .lines.filter(({ column }) => column === statement.column)
    .map(({ transfer, inMinor, outMinor }) => ({
      id: transfer.id,
      on: transfer.on,
      amountMinor: inMinor - outMinor,
      transfer,
    }))
  const match = matchStatement({ statement: lines, book })
  return {
    pairs: match.pairs.map((pair) => ({
      line: lines[Number(pair.statementId)]!,
      transfer: book.find(({ id }) => id === pair.bookId)!.transfer,
    })),
    onlyOnStatement: match.onlyOnStatement.map((id) => lines[Number(id)]!),
    onlyInBook: match.onlyInBook.map((id) => book.find((line) => line.id === id)!),
  }
}
