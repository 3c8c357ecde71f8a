import type pg from 'pg'
import type { Database } from '../connection.ts'
import { BookProblem } from '../file/problem.ts'
import { migrateToLatest, stepsOf } from '../migrate.ts'
import { addressOf, clientOf, openPostgres } from './connection.ts'
import { makeSchema } from './make-schema.ts'

interface Held {
  db: Database
  /** Whether a role of its own keeps what was written, besides the triggers. */
  hasWriter: boolean
  /** Closes it; another program may open it then. */
  close(): Promise<void>
}

/**
 * Opens a group's book on PostgreSQL for one program alone, makes its tables where there are none, and brings it up to date. Throws
 * BookProblem `two-programs` where another one has it open, `newer` where a newer version wrote it.
 */
export async function openHeldBook(place: string): Promise<Held> {
  const address = addressOf(place)
  const keeper = clientOf(address)
  await keeper.connect()
  try {
    const { rows } = await keeper.query('select pg_try_advisory_lock(hashtext($1)) as held', [
      `book of ${address.schema}`,
    ])
    if (!rows[0].held) throw new BookProblem('two-programs', { place: address.schema })
    await makeSchema(keeper, address.schema)
    await takeSteps(place)
    const hasWriter = await letWriterWrite(keeper, address.schema)
    const db = openPostgres(place, hasWriter ? writerOf(address.schema) : undefined)
    return {
      db,
      hasWriter,
      close: async () => {
        await db.destroy()
        await keeper.end()
      },
    }
  } catch (error) {
    await keeper.end()
    throw error
  }
}

async function takeSteps(place: string): Promise<void> {
  const owner = openPostgres(place)
  try {
    const { taken, known } = await stepsOf(owner)
    const beyond = taken.find((name) => !known.includes(name))
    if (beyond) throw new BookProblem('newer', { place: addressOf(place).schema, step: beyond, own: known.at(-1)! })
    if (taken.length < known.length) await migrateToLatest(owner)
  } finally {
    await owner.destroy()
  }
}

/** The role that a group's program writes as. */
const writerOf = (schema: string) => `${schema}_writer`

/**
 * Lets the writer of a group add and read, and change or strike only what no trigger keeps as it was written. False where
 * this account may not make roles: then the triggers alone stand guard.
 */
async function letWriterWrite(client: pg.Client, schema: string): Promise<boolean> {
  const role = writerOf(schema)
  const { rows } = await client.query(
    `select exists (select 1 from pg_roles where rolname = $1) as is_there,
      (select rolcreaterole or rolsuper from pg_roles where rolname = current_user) as may_make`,
    [role],
  )
  const { is_there, may_make } = rows[0]
  if (!is_there && !may_make) return false
  if (!is_there) await client.query(`create role ${role} nologin; grant ${role} to current_user`)
  await client.query(`
    grant usage on schema ${schema} to ${role};
    grant select, insert on all tables in schema ${schema} to ${role};
    grant usage, update on all sequences in schema ${schema} to ${role}`)
  const changing = await client.query(
    `select tablename from pg_tables where schemaname = $1 and tablename not like 'kysely%'
      and not exists (select 1 from pg_trigger join pg_class on pg_class.oid = tgrelid
        join pg_namespace on pg_namespace.oid = relnamespace
        where nspname = $1 and relname = tablename and tgname = tablename || '_no_update')`,
    [schema],
  )
  const names = changing.rows.map(({ tablename }) => `${schema}.${tablename}`).join(', ')
  await client.query(`grant update, delete on ${names} to ${role}`)
  return true
}
