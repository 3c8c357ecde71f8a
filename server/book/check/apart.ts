import { createHash } from 'node:crypto'
import { type RawBuilder, sql } from 'kysely'
import type { Database } from '../../database/connection.ts'
import { KINDS } from '../../database/kinds/kinds.ts'
import { tablesOf } from '../../database/tables-of.ts'
import type { Pen } from '../entries.ts'
import { LEFT_OUT } from '../entry-hash.ts'
import { secondWriting } from '../hash-writing.ts'
import type { Fault } from './make.ts'

/** What stands in the chain for a password's hash that is kept beside it. */
const APART = 'sha256:'

const digest = (text: string) => createHash('sha256').update(text).digest('hex')

/** A password's hash as the chain has it: its digest, so that another one put in its place behind the app shows. */
export function inChain(passwordHash: string): string {
  return APART + digest(passwordHash)
}

/** Keeps the hash itself beside the chain, under the entry that wrote it. */
export async function keepApart(pen: Pen, credentialId: string, passwordHash: string): Promise<void> {
  await pen.trx.insertInto('passwordApart').values({ credentialId, passwordHash }).execute()
}

/** The hash that signs in: kept apart, or in the chain of older entries. Null where neither is here. */
export const hashHere: RawBuilder<string | null> = sql<string | null>`coalesce(
  (select apart.password_hash from password_apart as apart where apart.credential_id = credential.entry_id),
  case when substr(credential.password_hash, 1, 7) = ${sql.lit(APART)}
    or substr(credential.password_hash, 1, 4) = ${sql.lit(LEFT_OUT)} then null else credential.password_hash end)`

/** Of another device's book the hashes come with their entries, and rule as little as these. */
export async function bringApart(trx: Database, other: Database): Promise<void> {
  for (const row of await other.selectFrom('passwordApart').selectAll().execute()) {
    const here = await trx
      .selectFrom('credential')
      .select('entryId')
      .where('entryId', '=', row.credentialId)
      .executeTakeFirst()
    if (here)
      await trx
        .insertInto('passwordApart')
        .values(row)
        .onConflict((same) => same.doNothing())
        .execute()
  }
}

/** How many passwords of older entries stand in the chain, and how many were left out of this copy. */
export async function passwordsInChain(db: Database): Promise<{ inside: number; leftOut: number }> {
  const rows = await db.selectFrom('credential').select('passwordHash').execute()
  const leftOut = rows.filter((row) => row.passwordHash.startsWith(LEFT_OUT)).length
  return { inside: rows.filter((row) => !row.passwordHash.startsWith(APART)).length - leftOut, leftOut }
}

/** Hashes kept apart that are not those of which the chain has the digest. */
export async function apartFaults(db: Database): Promise<Fault[]> {
  const tables = await tablesOf(db)
  if (!tables.some(({ name }) => name === 'password_apart')) return []
  const rows = await db
    .selectFrom('passwordApart as apart')
    .leftJoin('credential', 'credential.entryId', 'apart.credentialId')
    .select(['apart.credentialId', 'apart.passwordHash', 'credential.passwordHash as told'])
    .execute()
  return rows
    .filter(({ passwordHash, told }) => told !== inChain(passwordHash))
    .map(({ credentialId }) => ({ code: 'password', values: { entry: credentialId } }))
}

/**
 * Makes a copy fit to leave the house: no sign-in, no code, no password's hash. An old one in the chain is replaced by the digest of its
 * row, by which the genuine row is known again.
 */
export async function leaveOutSecrets(copy: Database): Promise<void> {
  const guard = await sql<{ words: string }>`
    select sql as words from sqlite_schema where name = 'credential_no_update'`.execute(copy)
  await sql`drop trigger credential_no_update`.execute(copy)
  for (const row of await copy.selectFrom('credential').selectAll().execute()) {
    if (row.passwordHash.startsWith(APART) || row.passwordHash.startsWith(LEFT_OUT)) continue
    const passwordHash = leftOutOf(row)
    await copy.updateTable('credential').set({ passwordHash }).where('entryId', '=', row.entryId).execute()
  }
  await sql.raw(guard.rows[0]!.words).execute(copy)
  for (const table of BESIDE) await copy.deleteFrom(table).execute()
}

/** What signs anybody in, who tried to, and what somebody had typed and not sent. */
const BESIDE = ['passwordApart', 'session', 'shortCode', 'oneTimeCode', 'keptAside', 'doorTry'] as const

function leftOutOf(row: Record<string, unknown>): string {
  return LEFT_OUT + digest(secondWriting(row, KINDS.get('credential')!))
}

/** Puts back into a copy what was left out of it and stands in the book that it replaces; how many were put back. */
export async function putBackSecrets(copy: Database, from: Database): Promise<number> {
  let count = 0
  const guard = await sql<{ words: string }>`
    select sql as words from sqlite_schema where name = 'credential_no_update'`.execute(copy)
  await sql`drop trigger credential_no_update`.execute(copy)
  for (const row of await from.selectFrom('credential').selectAll().execute()) {
    const { numUpdatedRows } = await copy
      .updateTable('credential')
      .set({ passwordHash: row.passwordHash })
      .where('entryId', '=', row.entryId)
      .where('passwordHash', '=', leftOutOf(row))
      .executeTakeFirst()
    count += Number(numUpdatedRows)
  }
  await sql.raw(guard.rows[0]!.words).execute(copy)
  await bringApart(copy, from)
  return count
}
