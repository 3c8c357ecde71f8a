import { AsyncLocalStorage } from 'node:async_hooks'
import type SqliteDatabase from 'better-sqlite3'
import { group } from 'd3-array'

export type Row = Record<string, unknown>

/** Of all rows that are kept, so many fields; and of one answer. Some tens of megabytes at most. A long text is as many fields as would take its room. Own choice, no source. */
const MOST_FIELDS = 300_000
const SIGNS_OF_A_FIELD = 50
const MOST_OF_ONE = 40_000
const MOST_ANSWERS = 2000
/** So many values SQLite takes in one statement (SQLITE_MAX_VARIABLE_NUMBER). */
const MOST_VALUES = 32_766

interface Answer {
  /** Null where they are too many to be kept: then only that they still hold is known. */
  rows: readonly Row[] | null
  /** So many that were read with other answers: for whoever asks next, and then no more. */
  forNext: readonly Row[] | null
  fields: number
  asks: Asks
  reading: Reading
}

/** One reading of rows; they are what the book would answer as long as it still holds. */
export interface Reading {
  holds: boolean
}

/** What is read meanwhile, for whoever keeps what is worked out from it. */
export const readings = new AsyncLocalStorage<Set<Reading>>()

/** A question as the connection hears it. */
export interface Question {
  sql: string
  parameters: readonly unknown[]
}

interface Reader {
  columnsOf(sql: string): string[]
  read(sql: string, parameters: readonly unknown[]): unknown[][]
}

/** What a question goes through. */
interface Asks {
  tables: ReadonlySet<string>
  /** Entries only as those of its facts: a new one that corrects nothing changes nothing in it, since no fact of before hangs on it. */
  onlyEntriesOfFacts: boolean
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
    this.seeOthers()
    const answer = this.answerTo({ sql, parameters })
    readings.getStore()?.add(answer.reading)
    if (answer.rows) return answer.rows
    const { forNext } = answer
    answer.forNext = null
    if (forNext) return forNext
    const rows = read()
    this.keep(answer, rows)
    return rows
  }

  /** The one that is kept, or room for it; whichever it is, it goes last. */
  private answerTo({ sql, parameters }: Question): Answer {
    const key = keyOf(sql, parameters)
    const answer = this.answers.get(key) ?? {
      rows: null,
      forNext: null,
      fields: 0,
      asks: asksOf(sql),
      reading: { holds: true },
    }
    this.answers.delete(key)
    this.answers.set(key, answer)
    return answer
  }

  /** A question whose answer is not kept is asked in one statement with all `others` of which that is true; each is answered apart. */
  readWith(own: Question, others: () => readonly Question[], { columnsOf, read }: Reader): void {
    this.seeOthers()
    const isOpen = ({ sql, parameters }: Question) => {
      const known = this.answers.get(keyOf(sql, parameters))
      return !known?.rows && !known?.forNext
    }
    if (!isOpen(own)) return
    const open = [own]
    let values = own.parameters.length
    for (const one of others()) {
      if (!isOpen(one) || values + one.parameters.length > MOST_VALUES) continue
      open.push(one)
      values += one.parameters.length
    }
    if (open.length < 2) return
    const parts = open.map((one) => ({ ...one, columns: columnsOf(one.sql) }))
    const parameters = parts.flatMap((part) => part.parameters)
    const found = group(read(inOne(parts), parameters), ([part]) => part)
    for (const [at, part] of parts.entries()) {
      const rows = (found.get(at) ?? []).map((fields) => {
        const row: Row = {}
        for (let column = 0; column < part.columns.length; column++) row[part.columns[column]!] = fields[column + 1]
        return row
      })
      const answer = this.answerTo(part)
      this.keep(answer, rows)
      if (!answer.rows) answer.forNext = rows
    }
  }

  private seeOthers(): void {
    const version = this.versionNow.get()
    if (version !== this.version) this.letAllGo()
    this.version = version
  }

  /** Another one whenever something may have been written since, by whomever: the same as long as nothing was. */
  mark(): string {
    return `${this.versionNow.get()} ${this.writings}`
  }

  /** Lets go of all that names the table which a statement writes into; of everything where that cannot be told. */
  letGo(sql: string, parameters: readonly unknown[] = []): void {
    if (/^\s*(begin|commit|savepoint|release)\b/i.test(sql)) return
    this.writings++
    const table = WRITTEN.exec(sql)?.[1]
    if (table === undefined) {
      this.letAllGo()
      return
    }
    const isNew = table === 'entry' && correctsNothing(sql, parameters)
    for (const [key, { asks }] of this.answers) {
      if (asks.tables.has(table) && !(isNew && asks.onlyEntriesOfFacts)) this.drop(key)
    }
  }

  private keep(answer: Answer, rows: Row[]): void {
    const fields = weightOf(rows)
    if (fields <= MOST_OF_ONE) {
      answer.rows = rows
      answer.fields = fields
      this.fields += fields
    }
    for (const oldest of this.answers.keys()) {
      if (this.fields <= MOST_FIELDS && this.answers.size <= MOST_ANSWERS) return
      this.drop(oldest)
    }
  }

  private drop(key: string): void {
    const { fields, reading } = this.answers.get(key)!
    this.fields -= fields
    reading.holds = false
    this.answers.delete(key)
  }

  private letAllGo(): void {
    for (const { reading } of this.answers.values()) reading.holds = false
    this.answers.clear()
    this.fields = 0
  }
}

function weightOf(rows: readonly Row[]): number {
  const columns = Object.keys(rows[0] ?? {})
  let fields = rows.length * columns.length
  for (const row of rows)
    for (const column of columns) {
      const value = row[column]
      if (typeof value === 'string') fields += Math.trunc(value.length / SIGNS_OF_A_FIELD)
    }
  return fields
}

const keyOf = (sql: string, parameters: readonly unknown[]) => `${sql} ${JSON.stringify(parameters)}`

/** Several questions in the words of one: each row says first whose it is, and is filled up to the longest. */
function inOne(parts: readonly { sql: string; columns: readonly string[] }[]): string {
  const most = Math.max(...parts.map(({ columns }) => columns.length))
  return parts
    .map(({ sql, columns }, at) => {
      const filled = ', null'.repeat(most - columns.length)
      return `select ${at} as part, asked.*${filled} from (${sql}) as asked`
    })
    .join(' union all ')
}

const WRITTEN = /^\s*(?:insert(?: or \w+)? into|update(?: or \w+)?|delete from)\s+"?(\w+)"?/i

/** One new entry in the words of one statement, which says of none that it corrects it. */
function correctsNothing(sql: string, parameters: readonly unknown[]): boolean {
  const [, named, given] = /^insert into "entry" \(([^)]*)\) values \(([?, ]*)\)$/.exec(sql) ?? []
  if (named === undefined || given === undefined) return false
  const at = named.split(', ').indexOf('"corrects_id"')
  return at < 0 || parameters[at] === null
}

const asked = new Map<string, Asks>()

/** Every word of a question that could be a table: one too many costs nothing but a reading. */
function asksOf(sql: string): Asks {
  const known = asked.get(sql)
  if (known) return known
  const asks = {
    tables: new Set(sql.match(/\w+/g)),
    onlyEntriesOfFacts: !/\b(from|join)\s+"?entry\b/i.test(sql.replace(ENTRY_OF_FACT, ' ').replace(CORRECTION, ' ')),
  }
  if (asked.size > MOST_ANSWERS) asked.clear()
  asked.set(sql, asks)
  return asks
}

/** An entry joined by its id, to which only what is written later can point. */
const ENTRY_OF_FACT = /join "?entry"?(?: as "?(\w+)"?)? on "?(?:\1|entry)"?\."?id"? = "?\w+"?\."?\w+"?/g
/** That nothing corrects what is asked for, or nothing later does (`standing.ts`), and what corrects something. */
const CORRECTION =
  /from "entry" where (?:"kind" = \? and )?"corrects_id" is not null|join "entry"(?: as "\w+")? on "\w+"\."corrects_id" = |from entry as (\w+)\s+where \1\.corrects_id = |from entry as mine\s+join entry as rival on rival\.corrects_id = mine\.corrects_id\s+where mine\.id = /g
