import { group } from 'd3-array'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { namesByEntry } from '../../book/names/approvals.ts'
import { listWithheld, type Withheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { Counted } from '../ledger/account-store.ts'
import { groupAccount } from '../ledger/account-store.ts'
import { addTransfer, type WrittenTransfer } from '../ledger/transfer-store.ts'

/** With words alone, by a minute of the meeting, or written off, which moves the book to the coins once two names stand under it. */
export const WAYS_DECIDED = ['explained', 'minuted', 'written-off'] as const
type WayDecided = (typeof WAYS_DECIDED)[number]

interface NewDecision {
  countId: string
  way: WayDecided
  minute: string | null
  words: string
  /** Below zero is short. */
  amountMinor: number
}

/** What was decided about a count that differs from the book. */
export interface CountDecision extends Omit<NewDecision, 'way'> {
  id: string
  /** `followed`: the book was let follow the coins by one name alone, as older books did. */
  way: WayDecided | 'followed'
  writerName: string
  writtenAt: Instant
  /** Those under a write-off. */
  names: string[]
  withheld: Withheld | null
  transfer: WrittenTransfer | null
}

export async function decideOnCount(pen: Pen, decision: NewDecision): Promise<string> {
  const { countId, way, minute, words, amountMinor } = decision
  const kind = way === 'written-off' ? 'count-write-off' : 'count-words'
  return appendEntry(pen, { kind }, { countDecision: [{ countId, way, minute, words, amountMinor }] })
}

const decisionRows = readTogether('money', (db) =>
  db
    .selectFrom('countDecision')
    .innerJoin('entry', 'entry.id', 'countDecision.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['entry.id', 'countId', 'way', 'minute', 'words', 'amountMinor', 'entry.writtenAt'])
    .select('person.name as writerName')
    .where(standing('countDecision'))
    .orderBy(asWritten),
)

/** Every decision by its count, in the order of writing. */
export async function decisionsByCount(
  db: Database,
  causes: ReadonlyMap<string, WrittenTransfer>,
): Promise<Map<string, CountDecision[]>> {
  const rows = await decisionRows(db)
  const [names, withheld] = [await namesByEntry(db), await listWithheld(db)]
  const decisions = rows.map((row) => ({
    ...row,
    way: row.way as WayDecided,
    names: (names.get(row.id) ?? []).map(({ name }) => name),
    withheld: withheld.get(row.id) ?? null,
    transfer: causes.get(row.id) ?? null,
  }))
  return group(decisions, ({ countId }) => countId)
}

/** Moves what is written off to an account of its own, where it stays in sight. */
export async function moveWrittenOff(
  pen: Pen,
  { decision, column, onDate }: { decision: CountDecision; column: Counted; onDate: CalendarDate },
): Promise<string> {
  const [held, other] = [await groupAccount(pen.trx, column), await groupAccount(pen.trx, 'short-and-over')]
  const short = decision.amountMinor < 0
  const moved = {
    kind: 'correction',
    debitAccountId: short ? other : held,
    creditAccountId: short ? held : other,
    amountMinor: Math.abs(decision.amountMinor),
    onDate,
    words: decision.words,
  } as const
  return addTransfer(pen, moved, {}, { transferCause: [{ causeId: decision.id }] })
}
