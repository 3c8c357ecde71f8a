import { fsum } from 'd3-array'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import { settleOldestFirst } from '../../../domain/fees/arrears/settle.ts'
import type { Id } from '../../../domain/id.ts'
import { InputError } from '../../../domain/input-error.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { type Approval, approvals, approve } from '../../book/names/approvals.ts'
import { listWithheld, type Withheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { groundOf, type StepGround, stepGrounds } from '../../people/warning/rule-store.ts'
import type { StepAbout } from '../../people/warning/store.ts'
import { groupAccount, memberAccount } from '../ledger/account-store.ts'
import { transfersByCause } from '../ledger/cause-store.ts'
import { addTransfer, listTransfers, transfersOf, type WrittenTransfer } from '../ledger/transfer-store.ts'

interface NewFine {
  personId: Id<'person'>
  amountMinor: number
  /** The rule of the group's own book, and what happened. */
  rule: string
  fact: string
  /** When the person was heard, and what was said. */
  heardOn: CalendarDate
  hearing: string
  /** From this day on an unpaid fine may be taken back: a step of the ladder lapses. */
  lapseOn: CalendarDate
}

export interface Fine extends NewFine {
  id: string
  personName: string
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
  approval: Approval | null
  transfer: WrittenTransfer | null
  /** The transfer that took it back once it had lapsed. */
  lapsed: WrittenTransfer | null
  withheld: Withheld | null
  ground?: StepGround
}

/** A fine in its turn, by no written rule. */
const UNRULED = { rule: null, named: 'fine', reason: null, minute: null } as const

export async function writeFine(
  pen: Pen,
  fine: NewFine,
  { minute, ...ground }: StepGround & { minute: string | null } = UNRULED,
): Promise<string> {
  const { personId, amountMinor, rule, fact, heardOn, hearing, lapseOn } = fine
  const row = {
    personId,
    amountMinor,
    rule,
    fact,
    heardOn,
    hearing,
    lapseOn,
  }
  const facts = { fine: [row], ...groundOf(ground), ...restingOn(minute) }
  return appendEntry(pen, { kind: 'fine-heard', forPersonId: personId }, facts)
}

const fineRows = readTogether('money', (db) =>
  db
    .selectFrom('fine')
    .innerJoin('entry', 'entry.id', 'fine.entryId')
    .innerJoin('person', 'person.entryId', 'fine.personId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .where(standing('fine'))
    .select(['entry.id', 'fine.personId', 'amountMinor', 'rule', 'fact', 'hearing'])
    .select(['heardOn', 'lapseOn', 'person.name as personName'])
    .select(['entry.writtenBy as writerId', 'writer.name as writerName', 'entry.writtenAt'])
    .orderBy(asWritten),
)

export async function listFines(db: Database): Promise<Fine[]> {
  const rows = await fineRows(db)
  const [named, moved, transfers] = [await approvals(db), await transfersByCause(db), await listTransfers(db)]
  const [withheld, grounds] = [await listWithheld(db), await stepGrounds(db)]
  return rows.map((row) => {
    const transfer = moved.get(row.id) ?? null
    const lapsed = transfer && (transfers.find(({ correctsId }) => correctsId === transfer.id) ?? null)
    const names = { approval: named.get(row.id) ?? null, withheld: withheld.get(row.id) ?? null }
    return { ...row, ...names, transfer, lapsed, ground: grounds.get(row.id) }
  })
}

/** The fines of a person that were charged, as steps of the ladder. */
export async function finesTowards(db: Database, personId: Id<'person'>): Promise<StepAbout[]> {
  return finesAsSteps(await listFines(db), personId)
}

export function finesAsSteps(fines: readonly Fine[], personId: Id<'person'>): StepAbout[] {
  return fines
    .filter((fine) => fine.personId === personId && fine.transfer !== null)
    .map(({ heardOn, lapseOn, lapsed, ground }) => ({
      step: 'fine',
      heardOn,
      lapseOn,
      isLifted: lapsed !== null,
      conduct: ground?.rule?.number ?? null,
    }))
}

/** The second name and the transfer are one act. Throws InputError `approval-twice` when somebody else was quicker. */
export async function confirmFine(pen: Pen, fine: Fine, onDate: CalendarDate): Promise<string> {
  await approve(pen, fine.id)
  const moved = {
    kind: 'fine',
    debitAccountId: (await memberAccount(pen.trx, fine.personId))!,
    creditAccountId: await groupAccount(pen.trx, 'fee-income'),
    amountMinor: fine.amountMinor,
    onDate,
    words: fine.rule,
  } as const
  return addTransfer(pen, moved, { forPersonId: fine.personId }, { transferCause: [{ causeId: fine.id }] })
}

/** How much of a fine that was charged is not paid. */
export async function unpaidMinor(db: Database, { transfer }: Fine): Promise<number> {
  if (!transfer) return 0
  const accountId = transfer.debitAccountId
  const { charges } = settleOldestFirst({ transfers: await transfersOf(db, accountId), accountId })
  return charges.find(({ transferId }) => transferId === transfer.id)?.openMinor ?? 0
}

/**
 * Takes a fine back that was lifted, or what is not paid of one that lapsed, by a transfer the other way; the fine and its hearing stay in the book.
 * What was taken back before stays so. Throws InputError `already-corrected` when nothing of it is left.
 */
export async function takeBack(
  pen: Pen,
  fine: Fine,
  { onDate, reason, amountMinor = fine.amountMinor }: { onDate: CalendarDate; reason: string; amountMinor?: number },
) {
  const posted = fine.transfer!
  const leftMinor = await chargedStill(pen.trx, fine)
  if (leftMinor <= 0) throw new InputError('already-corrected')
  const moved = {
    kind: 'correction',
    debitAccountId: posted.creditAccountId,
    creditAccountId: posted.debitAccountId,
    amountMinor: Math.min(amountMinor, leftMinor),
    onDate,
  } as const
  return addTransfer(pen, moved, { forPersonId: fine.personId, correctsId: posted.id, reason })
}

/** What of a fine was charged and not taken back. */
export async function chargedStill(db: Database, { transfer, amountMinor }: Fine): Promise<number> {
  const takenBack = (await listTransfers(db)).filter(({ correctsId }) => transfer && correctsId === transfer.id)
  return amountMinor - fsum(takenBack, (one) => one.amountMinor)
}

/** What the last delivery up to a day was charged to a person, in minor units; null where none was. */
export async function lastTurnMinor(db: Database, personId: Id<'person'>, on: CalendarDate): Promise<number | null> {
  const charged = await db
    .selectFrom('transfer')
    .innerJoin('entry', 'entry.id', 'transfer.entryId')
    .innerJoin('abstraction', 'abstraction.entryId', 'transfer.abstractionId')
    .select('amountMinor')
    .where('transfer.debitAccountId', '=', (await memberAccount(db, personId)) ?? '')
    .where('transfer.kind', '=', 'charge')
    .where('transfer.onDate', '<=', on)
    .where(standing('transfer'))
    .orderBy('abstraction.onDate', 'desc')
    .orderBy(asWritten, 'desc')
    .limit(1)
    .executeTakeFirst()
  return charged?.amountMinor ?? null
}
