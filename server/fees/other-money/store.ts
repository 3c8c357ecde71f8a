import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { groupAccount, type MoneyColumn } from '../ledger/account-store.ts'
import { addTransfer } from '../ledger/transfer-store.ts'
import { checkHeld } from '../voucher/reserve-store.ts'

export const INCOME_SOURCES = ['grant', 'sold-produce', 'interest', 'other'] as const
type IncomeSource = (typeof INCOME_SOURCES)[number]

interface Moved {
  column: MoneyColumn
  amountMinor: number
  onDate: CalendarDate
  words: string
}

/** What a wallet or a bank takes for itself: a cost without a voucher, which its statement proves. Throws InputError `not-enough-held`. */
export async function writeHeldFee(pen: Pen, { column, amountMinor, onDate, words }: Moved): Promise<string> {
  await checkHeld(pen.trx, column, amountMinor)
  const debitAccountId = await groupAccount(pen.trx, 'costs')
  const creditAccountId = await groupAccount(pen.trx, column)
  return addTransfer(pen, { kind: 'cost', debitAccountId, creditAccountId, amountMinor, onDate, words })
}

/** Money that comes in and is nobody's fee: a grant, produce that the group sold. */
export async function writeIncome(
  pen: Pen,
  { column, amountMinor, onDate, words, source, fromWhom }: Moved & { source: IncomeSource; fromWhom: string },
): Promise<string> {
  const debitAccountId = await groupAccount(pen.trx, column)
  const creditAccountId = await groupAccount(pen.trx, 'fee-income')
  const moved = { kind: 'move', debitAccountId, creditAccountId, amountMinor, onDate, words } as const
  return addTransfer(pen, moved, {}, { otherIncome: [{ source, fromWhom }] })
}

const incomeRows = readTogether('money', (db) =>
  db.selectFrom('otherIncome').selectAll().where(standing('otherIncome')),
)

/** Where other income came from, by its transfer. */
export async function otherIncomes(db: Database): Promise<Map<string, { source: IncomeSource; fromWhom: string }>> {
  const rows = await incomeRows(db)
  return new Map(rows.map(({ entryId, source, fromWhom }) => [entryId, { source: source as IncomeSource, fromWhom }]))
}
