import type { CalendarDate } from '../../../domain/calendar.ts'
import { InputError } from '../../../domain/input-error.ts'
import { type Approval, approvals, approve } from '../../book/approvals.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { groupAccount, memberAccount } from '../ledger/account-store.ts'
import { transfersByCause } from '../ledger/cause-store.ts'
import { addTransfer, type WrittenTransfer } from '../ledger/transfer-store.ts'

interface NewRelief {
  personId: string
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
  writerId: string
  writerName: string
  writtenAt: string
  approval: Approval | null
  transfer: WrittenTransfer | null
}

export async function writeRelief(pen: Pen, { personId, amountMinor, minute, words, askedId }: NewRelief) {
  const row = { person_id: personId, amount_minor: amountMinor, minute, words, asked_id: askedId }
  return appendEntry(pen, { kind: 'relief-asked', forPersonId: personId }, { relief: [row] })
}

export async function listReliefs(db: Database): Promise<Relief[]> {
  const rows = await db
    .selectFrom('relief')
    .innerJoin('entry', 'entry.id', 'relief.entry_id')
    .innerJoin('person', 'person.entry_id', 'relief.person_id')
    .innerJoin('person as asked', 'asked.entry_id', 'relief.asked_id')
    .innerJoin('person as writer', 'writer.entry_id', 'entry.written_by')
    .where(standing('relief'))
    .select(['entry.id', 'relief.person_id as personId', 'amount_minor as amountMinor', 'minute', 'words'])
    .select(['asked_id as askedId', 'person.name as personName', 'asked.name as askedName'])
    .select(['entry.written_by as writerId', 'writer.name as writerName', 'entry.written_at as writtenAt'])
    .orderBy('entry.seq')
    .execute()
  const [named, moved] = [await approvals(db), await transfersByCause(db)]
  return rows.map((row) => ({ ...row, approval: named.get(row.id) ?? null, transfer: moved.get(row.id) ?? null }))
}

/**
 * The second name and the transfer are one act: the member owes that much less from then on. Throws InputError
 * `approval-twice` when it was granted before.
 */
export async function grantRelief(pen: Pen, relief: Relief, onDate: CalendarDate): Promise<string> {
  if ((await approvals(pen.trx)).has(relief.id)) throw new InputError('approval-twice')
  await approve(pen, relief.id)
  const moved = {
    kind: 'relief',
    debitAccountId: await groupAccount(pen.trx, 'relief'),
    creditAccountId: (await memberAccount(pen.trx, relief.personId))!,
    amountMinor: relief.amountMinor,
    onDate,
    words: relief.minute,
  } as const
  return addTransfer(pen, moved, { forPersonId: relief.personId }, { transfer_cause: [{ cause_id: relief.id }] })
}
