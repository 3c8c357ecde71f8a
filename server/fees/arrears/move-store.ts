import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { type Approval, approvals, approve } from '../../book/names/approvals.ts'
import { listWithheld, type Withheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { memberAccount } from '../ledger/account-store.ts'
import { transfersByCause } from '../ledger/cause-store.ts'
import { addTransfer, type WrittenTransfer } from '../ledger/transfer-store.ts'

interface NewMove {
  tenantId: Id<'person'>
  ownerId: Id<'person'>
  amountMinor: number
  words: string
}

/** What a tenant left unpaid, to be charged to the owner of the plot who answers for it. */
export interface ArrearsMove extends NewMove {
  id: string
  tenantName: string
  ownerName: string
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
  approval: Approval | null
  transfer: WrittenTransfer | null
  withheld: Withheld | null
}

export async function writeMove(pen: Pen, { tenantId, ownerId, amountMinor, words }: NewMove): Promise<string> {
  const row = { tenantId, ownerId, amountMinor, words }
  return appendEntry(pen, { kind: 'arrears-to-owner', forPersonId: tenantId }, { arrearsMove: [row] })
}

const moveRows = readTogether('money', (db) =>
  db
    .selectFrom('arrearsMove')
    .innerJoin('entry', 'entry.id', 'arrearsMove.entryId')
    .innerJoin('person as tenant', 'tenant.entryId', 'arrearsMove.tenantId')
    .innerJoin('person as owner', 'owner.entryId', 'arrearsMove.ownerId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .where(standing('arrearsMove'))
    .select(['entry.id', 'tenantId', 'ownerId', 'amountMinor', 'words', 'entry.writtenAt'])
    .select(['tenant.name as tenantName', 'owner.name as ownerName'])
    .select(['entry.writtenBy as writerId', 'writer.name as writerName'])
    .orderBy(asWritten),
)

export async function listMoves(db: Database): Promise<ArrearsMove[]> {
  const rows = await moveRows(db)
  if (rows.length === 0) return []
  const [named, moved, withheld] = [await approvals(db), await transfersByCause(db), await listWithheld(db)]
  return rows.map((row) => ({
    ...row,
    approval: named.get(row.id) ?? null,
    transfer: moved.get(row.id) ?? null,
    withheld: withheld.get(row.id) ?? null,
  }))
}

/** The second name and the transfer are one act: the tenant owes that much less and the owner that much more. */
export async function nameMove(pen: Pen, move: ArrearsMove, onDate: CalendarDate): Promise<string> {
  await approve(pen, move.id)
  const moved = {
    kind: 'move',
    debitAccountId: (await memberAccount(pen.trx, move.ownerId))!,
    creditAccountId: (await memberAccount(pen.trx, move.tenantId))!,
    amountMinor: move.amountMinor,
    onDate,
    words: move.words,
  } as const
  return addTransfer(pen, moved, { forPersonId: move.ownerId }, { transferCause: [{ causeId: move.id }] })
}
