import { createHash } from 'node:crypto'
import { inFile } from '../database/names.ts'

/**
 * SHA-256 over the previous hash, the entry's own fields and its facts, in one fixed writing:
 * names as in the file, keys sorted, empty fields as null, rows sorted by their text. Any later change of the file breaks the chain.
 */
export function hashOfEntry(
  entry: { previousHash: string } & Record<string, unknown>,
  rows: (readonly [string, Record<string, unknown>])[],
): string {
  const { seq: _seq, hash: _hash, ...own } = entry
  const facts = rows.map(([table, row]) => `${inFile(table)} ${fixedText(row)}`).sort()
  return createHash('sha256')
    .update([entry.previousHash, fixedText(own), ...facts].join('\n'))
    .digest('hex')
}

function fixedText(record: Record<string, unknown>): string {
  const fields = Object.entries(record).map(([name, value]): [string, unknown] => [inFile(name), value ?? null])
  return JSON.stringify(fields.sort(([a], [b]) => (a < b ? -1 : 1)))
}
