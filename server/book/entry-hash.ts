import { createHash } from 'node:crypto'
import { KINDS, KINDS_OF_FIRST_RULE } from '../database/kinds/kinds.ts'
import { inFile } from '../database/names.ts'
import type { Kind } from '../database/tables-of.ts'
import { firstWriting, secondWriting } from './hash-writing.ts'

/** What stands for an old password's hash that was left out of a copy (`check/apart.ts`). */
export const LEFT_OUT = 'row:'

/** The rule by which new entries are hashed. */
export const HASH_VERSION = 2

type Head = { previousHash: string; hashVersion?: number } & Record<string, unknown>
type Row = readonly [table: string, row: Record<string, unknown>]

/**
 * SHA-256 over the previous hash, the entry's own fields and its facts, in one fixed writing, so that any later change of the
 * file breaks the chain. An entry is hashed by the rule that it carries. Throws RangeError for a value that its column cannot hold.
 */
export function hashOfEntry(entry: Head, rows: readonly Row[]): string {
  const { seq: _seq, hash: _hash, ...own } = entry
  const written = isOfFirstRule(own.hashVersion) ? asFirst(own, rows) : byKind(own, rows)
  return createHash('sha256')
    .update([entry.previousHash, ...written].join('\n'))
    .digest('hex')
}

/** Whether an entry as it stands gives the hash that stands with it, as far as a copy still can tell; one with a value that nothing may hold does not. */
export function fitsHash(entry: Head & { hash: string }, rows: readonly Row[]): boolean {
  if (isLeftOut(rows)) return true
  try {
    return entry.hash === hashOfEntry(entry, rows)
  } catch (error) {
    if (error instanceof RangeError) return false
    throw error
  }
}

/** A book that was not yet brought up to date has no column for it. */
function isOfFirstRule(version: unknown): boolean {
  if (version !== undefined && version !== 1 && version !== HASH_VERSION)
    throw new RangeError('no such rule of hashing')
  return version !== HASH_VERSION
}

const NO_COLUMNS: ReadonlyMap<string, Kind> = new Map()

function byKind(own: Record<string, unknown>, rows: readonly Row[]): string[] {
  const written = (table: string, record: Record<string, unknown>) =>
    `${inFile(table)} ${secondWriting(record, KINDS.get(inFile(table)) ?? NO_COLUMNS)}`
  const facts = rows.map(([table, row]) => written(table, row))
  return [written('entry', own), ...(facts.length > 1 ? facts.sort(byBytes) : facts)]
}

/** The order of the bytes, which no language has its own idea of. */
function byBytes(one: string, other: string): number {
  return Buffer.compare(Buffer.from(one), Buffer.from(other))
}

/** Before an entry carried its rule, it had no field for it. */
function asFirst({ hashVersion: _version, ...own }: Record<string, unknown>, rows: readonly Row[]): string[] {
  const facts = rows.map(
    ([table, row]) => `${inFile(table)} ${firstWriting(row, KINDS_OF_FIRST_RULE.get(inFile(table)) ?? new Map())}`,
  )
  return [firstWriting(own, KINDS_OF_FIRST_RULE.get('entry')!), ...facts.sort()]
}

/** An entry that only gave a password, whose row was left out of a copy: nothing can be worked out of it, its place in the chain can. */
function isLeftOut(facts: readonly Row[]): boolean {
  const own = facts.filter(([table]) => table !== 'nameNeeded' && table !== 'clockMark')
  const [only] = own
  return own.length === 1 && only![0] === 'credential' && String(only![1].passwordHash).startsWith(LEFT_OUT)
}
