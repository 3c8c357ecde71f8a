import { randomBytes } from 'node:crypto'
import { type Insertable, sql, type Transaction } from 'kysely'
import type { Instant } from '../../domain/calendar.ts'
import type { Id } from '../../domain/id.ts'
import { InputError } from '../../domain/input-error.ts'
import type { FactTables, Schema } from '../database/schema.ts'
import { HASH_VERSION, hashOfEntry } from './entry-hash.ts'
import { isOfItsKind } from './rules/own-kind.ts'

/** The facts of one entry: rows for one or more tables, without the entry's id. */
export type Facts = { [T in keyof FactTables]?: Omit<Insertable<FactTables[T]>, 'entryId'>[] }

export interface EntryHead {
  kind: string
  /** UTC instant of the event itself; the moment of writing is kept beside it. */
  happenedAt?: Instant
  forPersonId?: Id<'person'> | null
  correctsId?: string | null
  reason?: string | null
  paperPage?: string | null
  paperRow?: number | null
}

/** Who writes, when, and with which form; everything that is written goes through a pen. */
export interface Pen {
  trx: Transaction<Schema>
  writtenBy: string
  writtenAt: Instant
  /** The example valley brings ids that come out the same each time. */
  nextId?: () => string
  form?: { key: string; digest: string; answer: (id: string) => string } | undefined
  /** Where the machine's clock cannot be right, what it shows; each entry carries it. */
  machineAt?: Instant
  /** The page and row of the paper that is being typed in. */
  paper?: { page: string; row: number }
}

/** The next id for whatever this pen writes: random, unless the pen brings its own. */
export function freshId(pen: Pen): string {
  return (pen.nextId ?? newId)()
}

export function newId(): string {
  return randomBytes(12).toString('base64url').replaceAll('-', 'x').replaceAll('_', 'y')
}

/**
 * Adds one entry and the facts that hang on it to the end of the chain: the only way into the append-only tables.
 * The first entry written with a form carries the form's one-time key. Throws InputError `already-corrected`.
 */
export async function appendEntry(pen: Pen, head: EntryHead, facts: Facts, id = freshId(pen)): Promise<string> {
  await correctedOnce(pen, head, facts)
  if (!isOfItsKind(head.kind, tablesOf(facts)))
    throw new RangeError(`an entry of kind ${head.kind} carries no such facts`)
  const last = await sql<{ hash: string }>`select hash from entry order by seq desc limit 1`.execute(pen.trx)
  const form = pen.form
  pen.form = undefined
  const entry = {
    id,
    kind: head.kind,
    happenedAt: head.happenedAt ?? pen.writtenAt,
    writtenAt: pen.writtenAt,
    writtenBy: pen.writtenBy,
    forPersonId: head.forPersonId ?? null,
    correctsId: head.correctsId ?? null,
    reason: head.reason ?? null,
    formKey: form?.key ?? null,
    formDigest: form?.digest ?? null,
    formAnswer: form?.answer(id) ?? null,
    paperPage: head.paperPage ?? pen.paper?.page ?? null,
    paperRow: head.paperRow ?? pen.paper?.row ?? null,
    hashVersion: HASH_VERSION,
    previousHash: last.rows[0]?.hash ?? '',
  }
  const rows = rowsOf(pen.machineAt ? { ...facts, clockMark: [{ machineAt: pen.machineAt }] } : facts, id)
  await pen.trx
    .insertInto('entry')
    .values({ ...entry, hash: hashOfEntry(entry, rows) })
    .execute()
  for (const [table, row] of rows)
    await pen.trx
      .insertInto(table)
      .values(row as Insertable<FactTables[keyof FactTables]>)
      .execute()
  return id
}

/**
 * Of two corrections of one entry both would count, so the second is refused. Money is corrected by a transfer of its
 * own and may follow the same charge several times.
 */
async function correctedOnce(pen: Pen, { correctsId }: EntryHead, facts: Facts): Promise<void> {
  if (!correctsId || facts.transfer) return
  const earlier = await pen.trx.selectFrom('entry').select('id').where('correctsId', '=', correctsId).executeTakeFirst()
  if (earlier) throw new InputError('already-corrected')
}

function tablesOf(facts: Facts): string[] {
  return Object.entries(facts).flatMap(([table, rows]) => (rows?.length ? [table] : []))
}

function rowsOf(facts: Facts, entryId: string): [keyof FactTables, Record<string, unknown>][] {
  return Object.entries(facts).flatMap(([table, rows]) =>
    (rows ?? []).map((row): [keyof FactTables, Record<string, unknown>] => [
      table as keyof FactTables,
      { entryId, ...row },
    ]),
  )
}
