import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { InputError } from '../../../domain/input-error.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { type Approval, approvals, approve } from '../../book/names/approvals.ts'
import { listWithheld, type Withheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { groupAccount, type HeldColumn, type MoneyColumn } from '../ledger/account-store.ts'
import { heldIn } from '../ledger/cash-store.ts'
import { transfersByCause } from '../ledger/cause-store.ts'
import { addTransfer, type WrittenTransfer } from '../ledger/transfer-store.ts'

export const WAYS = ['in', 'out'] as const
type Way = (typeof WAYS)[number]

interface NewReserveMove {
  way: Way
  /** Where it comes from or goes to. */
  column: MoneyColumn
  amountMinor: number
  words: string
}

export interface ReserveMove extends NewReserveMove {
  id: string
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
  approval: Approval | null
  /** The money itself; it moves with the second name. */
  transfer: WrittenTransfer | null
  withheld: Withheld | null
}

/** Asks for money to be put into the reserve or taken out of it; nothing moves before somebody else agrees. */
export async function askReserveMove(pen: Pen, { way, column, amountMinor, words }: NewReserveMove): Promise<string> {
  const [fromColumn, toColumn] = way === 'in' ? [column, 'reserve'] : ['reserve', column]
  const row = { fromColumn, toColumn, amountMinor, words }
  return appendEntry(pen, { kind: 'reserve-move' }, { reserveMove: [row] })
}

const moveRows = readTogether('money', (db) =>
  db
    .selectFrom('reserveMove')
    .innerJoin('entry', 'entry.id', 'reserveMove.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .where(standing('reserveMove'))
    .select(['entry.id', 'fromColumn', 'toColumn', 'amountMinor', 'words'])
    .select(['entry.writtenBy as writerId', 'person.name as writerName', 'entry.writtenAt'])
    .orderBy(asWritten),
)

export async function listReserveMoves(db: Database): Promise<ReserveMove[]> {
  const rows = await moveRows(db)
  const [named, moved, withheld] = [await approvals(db), await transfersByCause(db), await listWithheld(db)]
  return rows.map(({ fromColumn, toColumn, ...row }) => {
    const way: Way = toColumn === 'reserve' ? 'in' : 'out'
    const column = (way === 'in' ? fromColumn : toColumn) as MoneyColumn
    const [approval, transfer] = [named.get(row.id) ?? null, moved.get(row.id) ?? null]
    return { ...row, way, column, approval, transfer, withheld: withheld.get(row.id) ?? null }
  })
}

/**
 * The second name and the transfer are one act. Throws InputError `approval-twice`, `approval-by-the-writer` or
 * `not-enough-held`, which is read where it is written, so that the same money cannot leave twice.
 */
export async function moveReserve(pen: Pen, { id, onDate }: { id: string; onDate: string }): Promise<string> {
  const move = (await listReserveMoves(pen.trx)).find((one) => one.id === id)!
  const [from, to]: HeldColumn[] = move.way === 'in' ? [move.column, 'reserve'] : ['reserve', move.column]
  await approve(pen, id)
  await checkHeld(pen.trx, from!, move.amountMinor)
  const moved = {
    kind: 'move',
    debitAccountId: await groupAccount(pen.trx, to!),
    creditAccountId: await groupAccount(pen.trx, from!),
    amountMinor: move.amountMinor,
    onDate,
    words: move.words,
  } as const
  return addTransfer(pen, moved, {}, { transferCause: [{ causeId: id }] })
}

/** Throws InputError `not-enough-held` where a column of the book holds less than is to leave it. */
export async function checkHeld(db: Database, column: HeldColumn, amountMinor: number): Promise<void> {
  if ((await heldIn(db, column)) < amountMinor) throw new InputError('not-enough-held')
}
