import { group } from 'd3-array'
import type { Instant } from '../../../domain/calendar.ts'
import type { Database } from '../../database/connection.ts'

/** A correction that was written after a day or week was closed and that changes what it was closed with. */
interface LaterCorrection {
  id: string
  href: string
  onDate: string
  reason: string
  writerName: string
  writtenAt: Instant
}

/** Lines of the log that a closing rests on, with the address of their pages. */
const KINDS = [
  { table: 'abstraction', path: '/log/lines/drawn' },
  { table: 'pumpDayReading', path: '/log/lines/meter' },
] as const

/** For each closing, what was corrected on its pump and its days since it was closed. */
export async function correctedSince(db: Database): Promise<Map<string, LaterCorrection[]>> {
  const rows: (LaterCorrection & { closingId: string })[] = []
  for (const { table, path } of KINDS) {
    for (const { oldId, reason, ...row } of await correctionsAfterClosing(db, table)) {
      rows.push({ ...row, reason: reason ?? '', href: `${path}/${oldId}` })
    }
  }
  rows.sort((a, b) => (a.writtenAt < b.writtenAt ? -1 : 1))
  return group(rows, ({ closingId }) => closingId)
}

/** The line as it was before counts, whatever day or pump the new one names. */
async function correctionsAfterClosing(db: Database, table: (typeof KINDS)[number]['table']) {
  return db
    .selectFrom('logClosing as closing')
    .innerJoin('entry as closed', 'closed.id', 'closing.entryId')
    .innerJoin(`${table as 'abstraction'} as old`, (join) =>
      join
        .onRef('old.pumpId', '=', 'closing.pumpId')
        .onRef('old.onDate', '>=', 'closing.fromOn')
        .onRef('old.onDate', '<=', 'closing.toOn'),
    )
    .innerJoin('entry as correction', 'correction.correctsId', 'old.entryId')
    .innerJoin('person as writer', 'writer.entryId', 'correction.writtenBy')
    .whereRef('correction.writtenAt', '>', 'closed.writtenAt')
    .select(['closing.entryId as closingId', 'old.entryId as oldId', 'old.onDate', 'correction.id'])
    .select(['correction.reason', 'correction.writtenAt', 'writer.name as writerName'])
    .execute()
}
