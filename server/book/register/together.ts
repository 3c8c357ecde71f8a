import type { Compilable, CompiledQuery } from 'kysely'
import { askWith, type Database } from '../../database/connection.ts'
import { isPostgres } from '../../database/tables-of.ts'

/** Registers that pages mostly need at the same time: those of the group every page, the others those of a room. */
type Together = 'group' | 'home' | 'people' | 'names' | 'works' | 'water' | 'crops' | 'turns' | 'odd' | 'money'
type Words = (db: Database) => CompiledQuery<unknown>

const registers = new Map<Together, Words[]>()

/**
 * A register that grows with people, ground, works and decisions and not with days, read as a whole. Where its rows are not kept, all
 * registers of its room that are not kept either are read in the same statement: a page asks once for them, and not once for each. It is
 * named once, when the program starts: named within what runs for a page, the statement would grow with every look.
 */
export function readTogether<R>(room: Together, words: (db: Database) => Compilable<R>) {
  const made = new Map<boolean, CompiledQuery<R>>()
  // They are the same in every book of its kind.
  const madeFor = (db: Database) => {
    const known = made.get(isPostgres(db)) ?? words(db).compile()
    made.set(isPostgres(db), known)
    return known
  }
  const others = registers.get(room) ?? []
  registers.set(room, others)
  others.push(madeFor)
  return async (db: Database): Promise<R[]> => {
    const own = madeFor(db)
    askWith(db, own, () => others.filter((one) => one !== madeFor).map((one) => one(db)))
    return (await db.executeQuery(own)).rows
  }
}

type Answers<Q extends readonly Compilable<unknown>[]> = {
  [K in keyof Q]: Q[K] extends Compilable<infer R> ? R[] : never
}

/**
 * What is asked about the same things or the same days, in one statement: these questions may name them, and grow with them. What one answers
 * is kept for itself, so that of those whose answer still holds nothing is read again.
 */
export async function askTogether<const Q extends readonly Compilable<unknown>[]>(
  db: Database,
  ...questions: Q
): Promise<Answers<Q>> {
  readAhead(db, ...questions)
  const answers = []
  for (const own of questions) answers.push((await db.executeQuery(own.compile())).rows)
  return answers as Answers<Q>
}

/** The same for whoever asks each of them by itself afterwards, in the same words, and finds it read. */
export function readAhead(db: Database, ...questions: readonly Compilable<unknown>[]): void {
  const asked = questions.map((one) => one.compile())
  for (const [at, own] of asked.entries()) askWith(db, own, () => asked.slice(at + 1))
}
