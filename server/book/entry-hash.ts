import { createHash } from 'node:crypto'

/**
 * SHA-256 over the previous hash, the entry's own fields and its facts, in one fixed writing:
 * keys sorted, empty fields as null, rows sorted by their text. Any later change of the file breaks the chain.
 */
export function hashOfEntry(
  entry: { previous_hash: string } & Record<string, unknown>,
  rows: (readonly [string, Record<string, unknown>])[],
): string {
  const { seq: _seq, hash: _hash, ...own } = entry
  const facts = rows.map(([table, row]) => `${table} ${fixedText(row)}`).sort()
  return createHash('sha256')
    .update([entry.previous_hash, fixedText(own), ...facts].join('\n'))
    .digest('hex')
}

function fixedText(record: Record<string, unknown>): string {
  const keys = Object.keys(record).sort()
  return JSON.stringify(keys.map((key) => [key, record[key] ?? null]))
}
