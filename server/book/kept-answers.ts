import type { CompiledQuery } from 'kysely'
import { type Database, markOf } from '../database/connection.ts'

/** So many answers of one book are kept; of those beyond, the one not asked for longest goes first. */
const MOST_KEPT = 300

type Answers = Map<string, Promise<unknown>>
const books = new WeakMap<Database, { mark: string | undefined; lastHash: string; answers: Answers }>()

/**
 * What is reckoned from the book alone, for a day and a question, stays the same until the next entry: nothing in the book is
 * ever changed. So the heavy answers are kept under the hash of the last entry, and everybody who asks the same shares one; an
 * answer that an entry overtook half-way stands under a hash that never comes back. A shared answer is frozen and never hangs on
 * who asks. Inside a transaction nothing is kept: what is being written may be taken back.
 *
 * `asked` holds all that the answer depends on beside the book, in plain values.
 */
export async function kept<T>(db: Database, question: string, asked: unknown, reckon: () => Promise<T>): Promise<T> {
  if (db.isTransaction) return reckon()
  const answers = await answersNow(db)
  const key = `${question} ${JSON.stringify(asked)}`
  const answer = (answers.get(key) as Promise<T> | undefined) ?? lettingOthersIn().then(reckon).then(frozen)
  answers.delete(key)
  answers.set(key, answer)
  for (const oldest of answers.keys()) {
    if (answers.size <= MOST_KEPT) break
    answers.delete(oldest)
  }
  answer.catch(() => answers.delete(key))
  return answer
}

/** Nobody else is served for longer than about this, however much is worked out. Own choice, no source. */
const HELD_MS = 8
let heldSince = 0

/**
 * Between the parts of long work: who asks for something light meanwhile is answered first. What is read before and after may differ by an entry, as
 * between two looks; whoever writes reads again within the writing.
 */
export async function lettingOthersIn(): Promise<void> {
  if (performance.now() - heldSince < HELD_MS) return
  await new Promise((served) => setImmediate(served))
  heldSince = performance.now()
}

let lastEntry: CompiledQuery<{ hash: string }> | undefined

async function answersNow(db: Database): Promise<Answers> {
  const mark = markOf(db)
  const known = books.get(db)
  if (known && mark !== undefined && known.mark === mark) return known.answers
  // Not every writing is an entry. Asked often, so its words are made once.
  lastEntry ??= db.selectFrom('entry').select('hash').orderBy('seq', 'desc').limit(1).compile()
  const { rows } = await db.executeQuery(lastEntry)
  const lastHash = rows[0]?.hash ?? ''
  const answers: Answers = known?.lastHash === lastHash ? known.answers : new Map()
  books.set(db, { mark, lastHash, answers })
  return answers
}

/** Lists and objects cannot be changed any more; a map cannot be frozen itself, but what it holds can. */
export function frozen<T>(value: T): T {
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value) || Object.isFrozen(value)) return value
  Object.freeze(value)
  for (const part of value instanceof Map ? value.values() : Object.values(value)) frozen(part)
  return value
}
