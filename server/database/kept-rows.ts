import type SqliteDatabase from 'better-sqlite3'

export type Row = Record<string, unknown>

/** Of all rows that are kept, so many fields; and of one answer. Some tens of megabytes at most. Own choice, no source. */
const MOST_FIELDS = 300_000
const MOST_OF_ONE = 40_000
const MOST_ANSWERS = 2000

interface Answer {
  rows: readonly Row[]
  fields: number
  tables: ReadonlySet<string>
}

/**
 * What the book answered to a question stays true until something is written into a table that the question names: asked again,
 * also within one page, it is not read again. All writing of this program goes through the same connection and lets go of what it
 * touches; where another program wrote into the file, or writing was taken back, everything goes.
 */
export class KeptRows {
  private readonly answers = new Map<string, Answer>()
  private fields = 0
  private version: unknown
  private writings = 0
  private readonly versionNow: SqliteDatabase.Statement

  constructor(sqlite: SqliteDatabase.Database) {
    // Changes only with what other connections wrote.
    this.versionNow = sqlite.prepare('pragma data_version').pluck()
  }

  rowsOf(sql: string, parameters: readonly unknown[], read: () => Row[]): readonly Row[] {
    const version = this.versionNow.get()
    if (version !== this.version) this.letAllGo()
    this.version = version
    const key = `${sql} ${JSON.stringify(parameters)}`
    const known = this.answers.get(key)
    if (known) {
      this.answers.delete(key)
      this.answers.set(key, known)
      return known.rows
    }
    const rows = read()
    this.keep(key, { rows, fields: rows.length * Object.keys(rows[0] ?? {}).length, tables: tablesIn(sql) })
    return rows
  }

  /** Another one whenever something may have been written since, by whomever: the same as long as nothing was. */
  mark(): string {
    return `${this.versionNow.get()} ${this.writings}`
  }

  /** Lets go of all that names the table which a statement writes into; of everything where that cannot be told. */
  letGo(sql: string): void {
    if (/^\s*(begin|commit|savepoint|release)\b/i.test(sql)) return
    this.writings++
    const table = WRITTEN.exec(sql)?.[1]
    if (table === undefined) this.letAllGo()
    else for (const [key, { tables }] of this.answers) if (tables.has(table)) this.drop(key)
  }

  private keep(key: string, answer: Answer): void {
    if (answer.fields > MOST_OF_ONE) return
    this.answers.set(key, answer)
    this.fields += answer.fields
    for (const oldest of this.answers.keys()) {
      if (this.fields <= MOST_FIELDS && this.answers.size <= MOST_ANSWERS) return
      this.drop(oldest)
    }
  }

  private drop(key: string): void {
    this.fields -= this.answers.get(key)!.fields
    this.answers.delete(key)
  }

  private letAllGo(): void {
    this.answers.clear()
    this.fields = 0
  }
}

const WRITTEN = /^\s*(?:insert(?: or \w+)? into|update(?: or \w+)?|delete from)\s+"?(\w+)"?/i

const tablesOf = new Map<string, ReadonlySet<string>>()

/** Every word of a question that could be a table: one too many costs nothing but a reading. */
function tablesIn(sql: string): ReadonlySet<string> {
  const known = tablesOf.get(sql)
  if (known) return known
  const tables = new Set(sql.match(/\w+/g))
  if (tablesOf.size > MOST_ANSWERS) tablesOf.clear()
  tablesOf.set(sql, tables)
  return tables
}
