import { closeSync, existsSync, openSync, readdirSync, readFileSync, readSync, statSync } from 'node:fs'
import { basename, dirname, join, resolve } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { type Database, openDatabase } from '../connection.ts'
import { BookProblem } from './problem.ts'

/** SQLite file format, 1.3: the words at its head, how it is written (18, 19) and a number that the program may set (60). */
const HEAD = 'SQLite format 3\0'
const HEAD_BYTES = 100
const WRITTEN_AT = 18
const MARK_AT = 60
/** SQLite file format, 4.1: the head of the log and that of each of its pages. */
const LOG_HEAD_BYTES = 32
const PAGE_HEAD_BYTES = 24

/** What lies at a place, seen without touching it: a book is any file of SQLite until it is read. */
type Lies = 'nothing' | 'empty' | 'other' | 'book'

export function whatLies(place: string): Lies {
  if (!existsSync(place)) return 'nothing'
  const { size } = statSync(place)
  if (size === 0) return 'empty'
  return headOf(place).subarray(0, HEAD.length).toString('latin1') === HEAD ? 'book' : 'other'
}

/** Refuses with a sentence what no book can be read from. Throws BookProblem. */
export function mustBeBook(place: string): void {
  const lies = whatLies(place)
  if (lies === 'nothing')
    throw new BookProblem('nothing', { place: resolve(place), others: booksBeside(place) || 'none' })
  if (lies === 'empty') throw new BookProblem('empty', { place })
  if (lies === 'other') throw new BookProblem('no-book', { place })
}

/** Other books in the same folder, by name: whoever mistyped one sees what was meant. */
export function booksBeside(place: string): string {
  const folder = dirname(resolve(place))
  if (!existsSync(folder)) return ''
  return readdirSync(folder)
    .filter((name) => name.endsWith('.sqlite') && name !== basename(place) && whatLies(join(folder, name)) === 'book')
    .slice(0, 5)
    .join(', ')
}

/** A copy of the book in memory, with what stands in its log only; the file itself is not touched. */
export function readBookFile(place: string): Buffer {
  mustBeBook(place)
  if (logBeside(place) === 'none') return withoutLog(readFileSync(place))
  const book = new SqliteDatabase(place, { readonly: true, fileMustExist: true })
  try {
    return withoutLog(book.serialize())
  } finally {
    book.close()
  }
}

export function openBookFile(place: string): Database {
  return openDatabase(readBookFile(place))
}

/** The bytes of a file as one that keeps no log beside it, which a copy in memory has not. */
export function withoutLog(bytes: Buffer): Buffer {
  const copy = Buffer.from(bytes)
  if (copy.length >= HEAD_BYTES) copy.fill(1, WRITTEN_AT, WRITTEN_AT + 2)
  return copy
}

/** Whether the file says that an app has it open, or had it when the machine stopped. */
export function isMarkedInUse(place: string): boolean {
  return headOf(place).readUInt32BE(MARK_AT) !== 0
}

/** What the log beside a book is: away, empty, whole to its last page, or cut in the middle of a writing. */
type Log = 'none' | 'empty' | 'whole' | 'cut'

export function logBeside(place: string): Log {
  const file = `${place}-wal`
  if (!existsSync(file)) return 'none'
  const log = readFileSync(file)
  if (log.length === 0) return 'empty'
  if (log.length < LOG_HEAD_BYTES) return 'cut'
  const step = PAGE_HEAD_BYTES + log.readUInt32BE(8)
  const salt = log.subarray(16, 24)
  let ended = true
  for (let at = LOG_HEAD_BYTES; at < log.length; at += step) {
    const own = log.length >= at + PAGE_HEAD_BYTES && log.subarray(at + 8, at + 16).equals(salt)
    // Pages of an earlier round lie behind those of this one and count no more.
    if (!own) return ended ? 'whole' : 'cut'
    if (log.length < at + step) return 'cut'
    ended = log.readUInt32BE(at + 4) !== 0
  }
  return ended ? 'whole' : 'cut'
}

function headOf(place: string): Buffer {
  const head = Buffer.alloc(HEAD_BYTES)
  const file = openSync(place, 'r')
  try {
    readSync(file, head, 0, HEAD_BYTES, 0)
  } finally {
    closeSync(file)
  }
  return head
}
