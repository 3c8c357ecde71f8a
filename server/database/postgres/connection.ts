import {
  CamelCasePlugin,
  HandleEmptyInListsPlugin,
  Kysely,
  PostgresDialect,
  type PostgresPool,
  type PostgresPoolClient,
  replaceWithNoncontingentExpression,
} from 'kysely'
import pg from 'pg'
import type { Database } from '../connection.ts'
import type { Schema } from '../schema.ts'
import { inPostgres } from './ddl.ts'

const USUAL_SCHEMA = 'commonweir'

/** Where a book on PostgreSQL is: the server and its database, and the group's own schema in it. */
interface Address {
  /** What `pg` is told. */
  url: string
  schema: string
}

/** `postgres://host/database?schema=kijito`. Throws RangeError for a name that needs quotation marks. */
export function addressOf(place: string): Address {
  const [url = '', query = ''] = place.split('?')
  const asked = new URLSearchParams(query)
  const schema = asked.get('schema') ?? USUAL_SCHEMA
  if (!/^[a-z][a-z0-9_]*$/.test(schema))
    throw new RangeError('schema must be a name of small letters, digits and underlines')
  asked.delete('schema')
  return { url: asked.size > 0 ? `${url}?${asked}` : url, schema }
}

/** What makes or changes tables: steps of `migrations/`, written for SQLite. */
const MAKING = /^\s*(create|alter table)\b/i
/** Kysely asks about the make of a schema in words of PostgreSQL itself. */
const OWN_WORDS = /^\s*create (schema|role|function)\b/i

const WHOLE_NUMBER = 20
const DECIMAL = 1700
const TRUTH = 16

/** Numbers come as numbers, and what is true as 1, as a file of SQLite gives them. */
const types = {
  getTypeParser: (kind: number, format?: 'text' | 'binary') => {
    if (kind === WHOLE_NUMBER || kind === DECIMAL) return Number
    if (kind === TRUTH) return (text: string) => (text === 't' ? 1 : 0)
    return pg.types.getTypeParser(kind as Parameters<typeof pg.types.getTypeParser>[0], format)
  },
}

/**
 * Opens a book on PostgreSQL. It has one connection, as a book in a file: what is asked comes one after the other, so that a hash and
 * what is reckoned under it are read in one order. `role` is who it writes as, once the tables are made.
 */
export function openPostgres(place: string, role?: string): Database {
  const address = addressOf(place)
  const plugins = [
    new CamelCasePlugin({ underscoreBetweenUppercaseLetters: true }),
    // Nothing is in an empty list; SQLite takes one as it is written.
    new HandleEmptyInListsPlugin({ strategy: replaceWithNoncontingentExpression }),
  ]
  return new Kysely<Schema>({ dialect: new PostgresDialect({ pool: poolOf(address, role) }), plugins })
}

/** A client of `pg` outside any book, for what concerns the whole schema. */
export function clientOf({ url, schema }: Address): pg.Client {
  return new pg.Client({ connectionString: url, options: `-c search_path=${schema},pg_catalog`, types })
}

function poolOf({ url, schema }: Address, role?: string): PostgresPool {
  const settings = `-c search_path=${schema},pg_catalog${role ? ` -c role=${role}` : ''}`
  const pool = new pg.Pool({ connectionString: url, options: settings, max: 1, types })
  // A connection that is lost while nobody asks is made anew by whoever asks next.
  pool.on('error', () => {})
  const clients = new WeakMap<pg.PoolClient, PostgresPoolClient>()
  return {
    connect: async () => {
      const client = await pool.connect().catch((error) => {
        throw named(error)
      })
      const known = clients.get(client) ?? speaking(client, schema)
      clients.set(client, known)
      return known
    },
    end: () => pool.end(),
    options: pool.options,
  }
}

/** A client that hears the words of SQLite where they differ, and whose transactions write one after the other. */
function speaking(client: pg.PoolClient, schema: string): PostgresPoolClient {
  const ask = (text: string, values?: readonly unknown[]) =>
    client.query(text, values as unknown[]).catch((error) => {
      throw named(error)
    })
  const query = async (text: string, values: readonly unknown[] = []) => {
    if (text === 'begin') {
      // Whoever writes waits for another writer from the first, so that each entry follows the one before it.
      await ask('begin')
      return ask('select pg_advisory_xact_lock(hashtext($1))', [`chain of ${schema}`])
    }
    if (MAKING.test(text) && !OWN_WORDS.test(text)) {
      const statements = inPostgres(text)
      for (const statement of statements.slice(0, -1)) await ask(statement)
      return ask(statements.at(-1)!)
    }
    const answer = await ask(text, values)
    if (answer.fields?.some(({ name }) => name === 'rowid')) for (const row of answer.rows) delete row.rowid
    return answer
  }
  // Cursors are not used.
  return { release: () => client.release(), query: query as unknown as PostgresPoolClient['query'] }
}

/** What PostgreSQL calls its errors (appendix A of its handbook), by the names that the rest of the program knows from SQLite. */
const NAMES: [code: RegExp, name: string][] = [
  [/^23505$/, 'SQLITE_CONSTRAINT_UNIQUE'],
  [/^23503$/, 'SQLITE_CONSTRAINT_FOREIGNKEY'],
  [/^23502$/, 'SQLITE_CONSTRAINT_NOTNULL'],
  [/^23514$/, 'SQLITE_CONSTRAINT_CHECK'],
  [/^P0001$/, 'SQLITE_CONSTRAINT_TRIGGER'],
  [/^22(P02|003)$/, 'SQLITE_CONSTRAINT_DATATYPE'],
  [/^(53100|53200)$/, 'SQLITE_FULL'],
  [/^25006$/, 'SQLITE_READONLY'],
  [/^(55P03|40001|40P01|53300)$/, 'SQLITE_BUSY'],
  [/^(08|57P|58|XX)/, 'SQLITE_IOERR'],
]

/** An error under the name that pages and commands know; it keeps its words. */
function named(error: unknown): unknown {
  const known = error as { code?: string; detail?: string }
  const name = NAMES.find(([code]) => code.test(known.code ?? ''))?.[1]
  if (name) known.code = name
  return error
}
