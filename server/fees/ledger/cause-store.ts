import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import { listTransfers, type WrittenTransfer } from './transfer-store.ts'

/** The transfers that were made because of something: by the id of the voucher, relief, fine or count. */
export function transfersByCause(db: Database): Promise<ReadonlyMap<string, WrittenTransfer>> {
  return kept(db, 'transfers by cause', null, () => readByCause(db))
}

const causeRows = readTogether('money', (db) => db.selectFrom('transferCause').select(['entryId', 'causeId']))

async function readByCause(db: Database): Promise<Map<string, WrittenTransfer>> {
  const rows = await causeRows(db)
  if (rows.length === 0) return new Map()
  const causes = new Map(rows.map((row) => [row.entryId, row.causeId]))
  const transfers = await listTransfers(db)
  return new Map(transfers.filter(({ id }) => causes.has(id)).map((transfer) => [causes.get(transfer.id)!, transfer]))
}

/** The other way round: what each such transfer was made for. */
export async function causesOfTransfers(db: Database): Promise<Map<string, string>> {
  const rows = await causeRows(db)
  return new Map(rows.map((row) => [row.entryId, row.causeId]))
}
