import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { type Approval, approvals, approve } from '../../book/names/approvals.ts'
import { listWithheld, type Withheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { groupAccount, memberAccount } from '../ledger/account-store.ts'
import { transfersByCause } from '../ledger/cause-store.ts'
import { addTransfer, type WrittenTransfer } from '../ledger/transfer-store.ts'

interface NewRelief {
  personId: Id<'person'>
  amountMinor: number
  /** The number of the minute in which the meeting or the committee decided it. */
  minute: string
  words: string
  /** The one officer who is asked for the second name and so sees this matter. */
  askedId: string
}

export interface Relief extends NewRelief {
  id: string
  personName: string
  askedName: string
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
  approval: Approval | null
  transfer: WrittenTransfer | null
  withheld: Withheld | null
}

export async function writeRelief(pen: Pen, { personId, amountMinor, minute, words, askedId }: NewRelief) {
  const row = { personId, amountMinor, minute, words, askedId }
  return appendEntry(pen, { kind: 'relief-asked', forPersonId: personId }, { relief: [row] })
}

const reliefRows = readTogether('money', (db) =>
  db
    .selectFrom('relief')
    .innerJoin('entry', 'entry.id', 'relief.entryId')
    .innerJoin('person', 'person.entryId', 'relief.personId')
    .innerJoin('person as asked', 'asked.entryId', 'relief.askedId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .where(standing('relief'))
    .select(['entry.id', 'relief.personId', 'amountMinor', 'minute', 'words'])
    .select(['askedId', 'person.name as personName', 'asked.name as askedName'])
    .select(['entry.writtenBy as writerId', 'writer.name as writerName', 'entry.writtenAt'])
    .orderBy(asWritten),
)

export async function listReliefs(db: Database): Promise<Relief[]> {
  const rows = await reliefRows(db)
  const [named, moved, withheld] = [await approvals(db), await transfersByCause(db), await listWithheld(db)]
  return rows.map((row) => ({
    ...row,
    approval: named.get(row.id) ?? null,
    transfer: moved.get(row.id) ?? null,
    withheld: withheld.get(row.id) ?? null,
  }))
}

/**
 * The second name and the transfer are one act: the member owes that much less from then on. Throws InputError
 * `approval-twice` when it was granted before.
 */
export async function grantRelief(pen: Pen, relief: Relief, onDate: CalendarDate): Promise<string> {
  await approve(pen, relief.id)
  const moved = {
    kind: 'relief',
    debitAccountId: await groupAccount(pen.trx, 'relief'),
    creditAccountId: (await memberAccount(pen.trx, relief.personId))!,
    amountMinor: relief.amountMinor,
    onDate,
    words: relief.minute,
  } as const
  return addTransfer(pen, moved, { forPersonId: relief.personId }, { transferCause: [{ causeId: relief.id }] })
}
