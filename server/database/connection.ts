import { closeSync, openSync } from 'node:fs'
import SqliteDatabase from 'better-sqlite3'
import {
  CamelCasePlugin,
  type SqliteDatabase as Connection,
  Kysely,
  type PluginTransformQueryArgs,
  type PluginTransformResultArgs,
  type QueryResult,
  type RootOperationNode,
  SqliteDialect,
  SqliteQueryCompiler,
  type SqliteStatement as Statement,
  type UnknownRow,
} from 'kysely'
import { KeptRows, type Question, type Row } from './kept-rows.ts'
import { inFile } from './names.ts'
import type { Schema } from './schema.ts'

export type Database = Kysely<Schema>

/** Enough for every page that people open again and again; own choice, no source. */
const MOST_KEPT = 400

/** What changes no table's make: only such a statement is worth keeping, and everything else lets the kept ones go. */
const KEPT = /^\s*(select|with|insert|update|delete|begin|commit|rollback|savepoint|release)\b/i

/** So many KiB of the file a connection holds; what is read again comes from the system's own memory, which all connections share. Own choice, no source. */
const CACHE_KIB = 4000

const PRAGMAS = [
  'journal_mode = WAL',
  'synchronous = FULL',
  'foreign_keys = ON',
  'recursive_triggers = ON',
  'busy_timeout = 5000',
  `cache_size = -${CACHE_KIB}`,
]

/** Whoever writes waits for another writer from the first; begun as a reader it would be refused at once. */
const BEGIN = 'begin immediate'

/**
 * Opens the book from its file, or a copy in memory from a file's bytes. There is one connection, so nothing slow may run inside a transaction.
 * `recursive_triggers` keeps an `insert or replace` from slipping past the triggers that forbid deletion. `told` hears of each
 * statement that is truly carried out.
 */
export function openDatabase(place: string | Buffer, told: (sql: string) => void = () => {}): Database {
  if (typeof place === 'string' && place !== ':memory:') makeForOneself(place)
  const sqlite = new SqliteDatabase(place)
  try {
    for (const pragma of PRAGMAS) sqlite.pragma(pragma)
  } catch (error) {
    sqlite.close()
    throw error
  }
  const rows = new KeptRows(sqlite)
  const { connection, ask } = keepingStatements(sqlite, { rows, told })
  const db = new Kysely<Schema>({ dialect: new DialectOfFile({ database: connection }), plugins: [new NamesInCode()] })
  marks.set(db, () => rows.mark())
  askers.set(db, ask)
  return db
}

const marks = new WeakMap<Database, () => string>()
const askers = new WeakMap<Database, (own: Question, others: () => readonly Question[]) => void>()

/**
 * Asks a question in one statement with others. What is answered is kept for each as if it had been asked by itself, so that whoever
 * asks it next, in the same words, finds it; on a server, and within a transaction, nothing is asked ahead.
 */
export function askWith(db: Database, own: Question, others: () => readonly Question[]): void {
  askers.get(db)?.(own, others)
}

/** Stays the same as long as nobody wrote anything into the book; undefined where only a question to the book tells. */
export function markOf(db: Database): string | undefined {
  return marks.get(db)?.()
}

/** A new book is read and written by whoever runs the program and by nobody else of the machine; its log beside it takes after it. */
function makeForOneself(file: string): void {
  try {
    closeSync(openSync(file, 'a', 0o600))
  } catch {
    // SQLite, which opens it next, says what is wrong with the place.
  }
}

/** Writes the names of the file into a statement: `volumeM3` here is `volume_m3` there; raw SQL keeps the file's own writing. */
class CompilerOfFile extends SqliteQueryCompiler {
  protected override sanitizeIdentifier(identifier: string): string {
    return super.sanitizeIdentifier(inFile(identifier))
  }
}

class DialectOfFile extends SqliteDialect {
  override createQueryCompiler(): SqliteQueryCompiler {
    return new CompilerOfFile()
  }
}

/** Gives what was read the names of the code. The question itself is not made twice for its names: they are put in as it is written out. */
class NamesInCode extends CamelCasePlugin {
  override transformQuery({ node }: PluginTransformQueryArgs): RootOperationNode {
    return node
  }

  override async transformResult({ result }: PluginTransformResultArgs): Promise<QueryResult<UnknownRow>> {
    const columns = Object.keys(result.rows[0] ?? {})
    const names = columns.map((column) => this.camelCase(column))
    const named = (row: UnknownRow) => {
      const own: UnknownRow = {}
      for (let at = 0; at < columns.length; at++) own[names[at]!] = row[columns[at]!]
      return own
    }
    return { ...result, rows: result.rows.map(named) }
  }
}

/**
 * A connection that keeps what SQLite made of the words of a statement, so that the same question is not read and planned
 * anew each time, and what it answered (`kept-rows.ts`); the one that was asked longest ago goes first.
 */
function keepingStatements(sqlite: SqliteDatabase.Database, { rows, told }: Omit<Asking, 'sql'>) {
  const kept = new Map<string, Asked>()
  const prepared = (sql: string) => {
    const statement = kept.get(sql) ?? asking(sqlite.prepare(sql), { sql, rows, told })
    kept.delete(sql)
    kept.set(sql, statement)
    if (kept.size > MOST_KEPT) kept.delete(kept.keys().next().value!)
    return statement
  }
  const ask = (own: Question, others: () => readonly Question[]) =>
    rows.readWith(own, others, {
      columnsOf: (sql) => prepared(sql).columns(),
      read: (sql, parameters) => prepared(sql).lists(parameters),
    })
  const connection: Connection = {
    close: () => void sqlite.close(),
    prepare: (sql) => {
      // A full disk has undone the transaction by itself; asking again would hide what was wrong.
      const undone = sql === 'rollback' && !sqlite.inTransaction
      if (KEPT.test(sql) && !undone) return prepared(sql === 'begin' ? BEGIN : sql)
      kept.clear()
      rows.letGo(sql)
      return sqlite.prepare(undone ? 'select 1' : sql) as Statement
    },
  }
  return { connection, ask }
}

interface Asking {
  sql: string
  rows: KeptRows
  told: (sql: string) => void
}

interface Asked extends Statement {
  columns: () => string[]
  /** Its rows as lists of their fields, which nobody keeps. */
  lists: (parameters: readonly unknown[]) => unknown[][]
}

/** A statement whose rows are kept where it only reads; one that writes lets go of what it makes untrue, also where it fails. */
function asking(statement: SqliteDatabase.Statement, { sql, rows, told }: Asking): Asked {
  const writing = <T>(parameters: readonly unknown[], write: () => T): T => {
    told(sql)
    try {
      return write()
    } finally {
      rows.letGo(sql, parameters)
    }
  }
  const read = (parameters: readonly unknown[]) => {
    told(sql)
    return statement.all(parameters) as Row[]
  }
  return {
    reader: statement.reader,
    all: (parameters) =>
      statement.readonly
        ? [...rows.rowsOf(sql, parameters, () => read(parameters))]
        : writing(parameters, () => statement.all(parameters)),
    run: (parameters) => writing(parameters, () => statement.run(parameters)),
    iterate: (parameters) => statement.iterate(parameters),
    columns: () => statement.columns().map(({ name }) => name),
    lists: (parameters) => {
      told(sql)
      return statement.raw().all(parameters) as unknown[][]
    },
  }
}
