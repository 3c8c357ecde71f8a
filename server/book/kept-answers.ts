import { type Database, markOf } from '../database/connection.ts'
import { type Reading, readings } from '../database/kept-rows.ts'
import { readTogether } from './register/together.ts'

/** So many answers of one book are kept, and of all of them so many fields, some tens of megabytes; of those beyond, the one not asked for longest goes first. Own choice, no source. */
const MOST_KEPT = 300
const MOST_FIELDS = 400_000

interface Answer {
  /** The last entry at which it was known to be true. */
  lastHash: string
  value: Promise<unknown>
  /** What it holds that no answer before it held. */
  fields: number
  /** All that it was worked out from, once it is there. */
  from: ReadonlySet<Reading> | null
}

type Answers = Map<string, Answer>
const books = new WeakMap<Database, { mark: string | undefined; lastHash: string; answers: Answers }>()

/**
 * What is reckoned from the book alone, for a day and a question, stays the same until something is written that it was reckoned from: nothing in the
 * book is ever changed. So the heavy answers are kept, and everybody who asks the same shares one. An answer is true at the last entry at which it was
 * begun, and at a later one as long as all rows that were read for it still hold (`kept-rows.ts`): a request leaves needs and water alone. One that an entry
 * overtook half-way holds some reading that does not. A shared answer is frozen and never hangs on who asks. Inside a transaction nothing is kept: what is
 * being written may be taken back.
 *
 * `asked` holds all that the answer depends on beside the book, in plain values.
 */
export async function kept<T>(db: Database, question: string, asked: unknown, reckon: () => Promise<T>): Promise<T> {
  if (db.isTransaction) return reckon()
  const { answers, lastHash } = await answersNow(db)
  const key = `${question} ${JSON.stringify(asked)}`
  const known = answers.get(key)
  const isKnown = known !== undefined && isTrueAt(lastHash, known)
  const answer = isKnown ? known : begun(lastHash, reckon)
  answer.lastHash = lastHash
  answers.delete(key)
  answers.set(key, answer)
  try {
    const value = (await answer.value) as T
    if (!isKnown) dropOldest(answers)
    // Whoever works out something from this works it out from the same.
    const around = readings.getStore()
    for (const reading of answer.from!) around?.add(reading)
    return value
  } catch (error) {
    if (answers.get(key) === answer) answers.delete(key)
    throw error
  }
}

function dropOldest(answers: Answers): void {
  let fields = 0
  for (const one of answers.values()) fields += one.fields
  for (const [oldest, one] of answers) {
    if (answers.size <= MOST_KEPT && fields <= MOST_FIELDS) return
    answers.delete(oldest)
    fields -= one.fields
  }
}

function begun(lastHash: string, reckon: () => Promise<unknown>): Answer {
  const from = new Set<Reading>()
  const answer: Answer = { lastHash, value: Promise.resolve(), fields: 0, from: null }
  answer.value = readings.run(from, async () => {
    await lettingOthersIn()
    const value = await reckon()
    answer.fields = freeze(value)
    answer.from = from
    return value
  })
  return answer
}

function isTrueAt(lastHash: string, answer: Answer): boolean {
  if (answer.lastHash === lastHash) return true
  if (!answer.from || answer.from.size === 0) return false
  for (const { holds } of answer.from) if (!holds) return false
  return true
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

/** The last entry, by which kept answers are told true, and at which the book ends. */
export const lastWritten = readTogether('group', (db) =>
  db
    .selectFrom('entry')
    .select(['hash', 'writtenAt'])
    .where('seq', '=', ({ selectFrom }) => selectFrom('entry').select(({ fn }) => fn.max('seq').as('last'))),
)

async function answersNow(db: Database) {
  const mark = markOf(db)
  const known = books.get(db)
  if (known && mark !== undefined && known.mark === mark) return known
  // Not every writing is an entry; and no answer is worked out from it.
  const [last] = await readings.run(new Set(), () => lastWritten(db))
  const lastHash = last?.hash ?? ''
  const answers: Answers = known?.answers ?? new Map()
  if (known?.lastHash !== lastHash) for (const [key, one] of answers) if (!isTrueAt(lastHash, one)) answers.delete(key)
  const now = { mark, lastHash, answers }
  books.set(db, now)
  return now
}

/** Lists and objects cannot be changed any more; a map cannot be frozen itself, but what it holds can. */
export function frozen<T>(value: T): T {
  freeze(value)
  return value
}

/** Freezes it, and gives how many fields were not frozen before. */
function freeze(value: unknown): number {
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value) || Object.isFrozen(value)) return 0
  Object.freeze(value)
  const parts = value instanceof Map ? [...value.values()] : Object.values(value)
  let fields = parts.length
  for (const part of parts) fields += freeze(part)
  return fields
}
