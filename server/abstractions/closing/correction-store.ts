import { group } from 'd3-array'
import type { Database } from '../../database/connection.ts'

/** A correction that was written after a day or week was closed and that changes what it was closed with. */
interface LaterCorrection {
  id: string
  href: string
  onDate: string
  reason: string
  writerName: string
  writtenAt: string
}

/** Lines of the log that a closing rests on, with the address of their pages. */
const KINDS = [
  { table: 'abstraction', path: '/log/abstractions' },
  { table: 'pump_day_reading', path: '/works/pump-readings' },
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
    .selectFrom('log_closing as closing')
    .innerJoin('entry as closed', 'closed.id', 'closing.entry_id')
    .innerJoin(`${table as 'abstraction'} as old`, (join) =>
      join
        .onRef('old.pump_id', '=', 'closing.pump_id')
        .onRef('old.on_date', '>=', 'closing.from_on')
        .onRef('old.on_date', '<=', 'closing.to_on'),
    )
    .innerJoin('entry as correction', 'correction.corrects_id', 'old.entry_id')
    .innerJoin('person as writer', 'writer.entry_id', 'correction.written_by')
    .whereRef('correction.written_at', '>', 'closed.written_at')
    .select(['closing.entry_id as closingId', 'old.entry_id as oldId', 'old.on_date as onDate', 'correction.id'])
    .select(['correction.reason', 'correction.written_at as writtenAt', 'writer.name as writerName'])
    .execute()
}
