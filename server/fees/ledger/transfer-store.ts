import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import { checkTransfer, type Transfer, type TransferKind } from '../../../domain/fees/ledger.ts'
import type { Id } from '../../../domain/id.ts'
import { InputError } from '../../../domain/input-error.ts'
import { appendEntry, type EntryHead, type Facts, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { asWritten } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { closedUntil } from './closed-store.ts'

/** A movement of money with all that stands beside it in the book. */
export interface WrittenTransfer extends Transfer {
  seq: number
  correctsId: string | null
  settlesId: string | null
  abstractionId: Id<'abstraction'> | null
  receiptBook: string | null
  receiptNumber: number | null
  original: string | null
  words: string | null
  reason: string | null
  writtenAt: Instant
  writerName: string
}

/**
 * Every transfer in the order of writing. A corrected transfer stays in the ledger, since its correction is a transfer
 * too: money is never taken back by leaving a line out.
 */
export function listTransfers(db: Database): Promise<readonly WrittenTransfer[]> {
  return kept(db, 'ledger', null, () => transfers(db).orderBy(asWritten).execute())
}

/** Those that touch one account. */
export function transfersOf(db: Database, accountId: Id<'account'>): Promise<readonly WrittenTransfer[]> {
  return kept(db, 'transfers of an account', accountId, () =>
    transfers(db)
      .where((eb) => eb.or([eb('debitAccountId', '=', accountId), eb('creditAccountId', '=', accountId)]))
      .orderBy(asWritten)
      .execute(),
  )
}

/** The same for every account at once, from the whole ledger. */
export function byAccount(transfers: readonly WrittenTransfer[]): Map<string, WrittenTransfer[]> {
  const ofAccount = new Map<string, WrittenTransfer[]>()
  for (const transfer of transfers) {
    for (const accountId of [transfer.debitAccountId, transfer.creditAccountId]) {
      const own = ofAccount.get(accountId)
      if (own) own.push(transfer)
      else ofAccount.set(accountId, [transfer])
    }
  }
  return ofAccount
}

export async function findTransfer(db: Database, id: string): Promise<WrittenTransfer | undefined> {
  return transfers(db).where('transfer.entryId', '=', id).executeTakeFirst()
}

function transfers(db: Database) {
  return db
    .selectFrom('transfer')
    .innerJoin('entry', 'entry.id', 'transfer.entryId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select([
      'transfer.entryId as id',
      'transfer.debitAccountId',
      'transfer.creditAccountId',
      'transfer.amountMinor',
      'transfer.onDate as on',
      'transfer.abstractionId',
      'transfer.settlesId',
      'transfer.receiptBook',
      'transfer.receiptNumber',
      'transfer.original',
      'transfer.words',
      'entry.seq',
      'entry.correctsId',
      'entry.reason',
      'entry.writtenAt',
      'writer.name as writerName',
    ])
    .select((eb) => eb.ref('transfer.kind').$castTo<TransferKind>().as('kind'))
}

interface NewTransfer {
  kind: TransferKind
  debitAccountId: Id<'account'>
  creditAccountId: Id<'account'>
  amountMinor: number
  onDate: CalendarDate
  abstractionId?: Id<'abstraction'>
  settlesId?: string
  receipt?: { book: string; number: number }
  original?: string
  words?: string | null
}

export interface ChargeLineRow {
  tariffId: Id<'tariff'>
  kind: string
  quantity: number
  unit: string
  amountMinor: number
  estimated: number
}

/**
 * The only way into the ledger. `more` are facts that hang on the same entry. Throws InputError `period-closed` for a day
 * in a closed period: whatever is found later belongs to the open one.
 */
export async function addTransfer(
  pen: Pen,
  moved: NewTransfer,
  head: Omit<EntryHead, 'kind'> = {},
  more: Facts = {},
): Promise<string> {
  const { kind, debitAccountId, creditAccountId, amountMinor, onDate } = moved
  const closed = await closedUntil(pen.trx)
  if (closed !== null && onDate <= closed) throw new InputError('period-closed', { date: closed })
  checkTransfer({ id: 'to be written', kind, debitAccountId, creditAccountId, amountMinor, on: onDate })
  const row = {
    debitAccountId,
    creditAccountId,
    amountMinor,
    kind,
    onDate,
    abstractionId: moved.abstractionId ?? null,
    settlesId: moved.settlesId ?? null,
    receiptBook: moved.receipt?.book ?? null,
    receiptNumber: moved.receipt?.number ?? null,
    original: moved.original ?? null,
    words: moved.words ?? null,
  }
  return appendEntry(pen, { kind, ...head }, { transfer: [row], ...more })
}
