import type { Instant } from '../../../domain/calendar.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { CashCount } from '../cash/count-store.ts'

export interface FindingNote {
  finding: string
  words: string
  writerName: string
  writtenAt: Instant
}

/** Words under a difference that cannot be mended, or not yet; it stays in sight with them. */
export async function noteFinding(pen: Pen, { finding, words }: { finding: string; words: string }): Promise<string> {
  return appendEntry(pen, { kind: 'finding-note' }, { findingNote: [{ finding, words }] })
}

const noteRows = readTogether('money', (db) =>
  db
    .selectFrom('findingNote')
    .innerJoin('entry', 'entry.id', 'findingNote.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .where(standing('findingNote'))
    .select(['finding', 'words', 'person.name as writerName', 'entry.writtenAt'])
    .orderBy(asWritten),
)

/** The words last written for each difference. */
export async function findingNotes(db: Database): Promise<Map<string, FindingNote>> {
  const rows = await noteRows(db)
  return new Map(rows.map((row) => [row.finding, row]))
}

/** The words that stand under a count that differs: a period may be closed with them, and the difference stays in sight. */
export function decidedNote(
  code: string,
  { count, reserveCount }: { count: CashCount | null; reserveCount: CashCount | null },
): Omit<FindingNote, 'finding'> | null {
  const own = code.startsWith('counted-') ? count : code.startsWith('reserve-') ? reserveCount : null
  return own?.decisions.findLast(({ withheld }) => !withheld) ?? null
}
