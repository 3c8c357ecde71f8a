import { sql } from 'kysely'
import type { Database } from '../../database/connection.ts'
import { bringApart } from '../check/apart.ts'
import { readParted, writeParted } from './parted.ts'
import { mergePlan } from './plan.ts'
import { appendWhole, readBook, type WholeEntry } from './whole-entry.ts'

interface Merge {
  /** Entries that only the first book had, only the second, and both. */
  onlyOne: number
  onlyOther: number
  shared: number
  entries: number
  lastHash: string
}

/**
 * Joins two books of one group into an empty third one; both stay as they are. Ids are random, so an entry that both have is
 * kept once. What both have from the beginning keeps its hashes; the rest stands on a new chain, the same to the last hash
 * whichever of the two is named first. How either chain stood is kept beside it (`merge/parted.ts`).
 * Throws InputError as `mergePlan`.
 */
export async function mergeBooks(books: { one: Database; other: Database; into: Database }): Promise<Merge> {
  const { into } = books
  const [one, other] = [await readBook(books.one), await readBook(books.other)]
  if ((await readBook(into)).length > 0) throw new RangeError('the joined book must be a new one')
  const { onlyOne, onlyOther, shared, merged, parted } = mergePlan(one, other)
  const earlier = [...(await readParted(books.one)), ...(await readParted(books.other))]
  const lastHash = await into.transaction().execute(async (trx) => {
    const hashes = await whileJoining(trx, () => appendAll(trx, merged))
    await writeParted(trx, [...earlier, ...parted])
    for (const book of [books.one, books.other]) await bringApart(trx, book)
    return hashes.at(-1)!
  })
  return { onlyOne, onlyOther, shared, entries: merged.length, lastHash }
}

/** Facts of one entry may name each other in any order, and a number may be given twice; all is checked at the end. */
export async function whileJoining<T>(trx: Database, work: () => Promise<T>): Promise<T> {
  await sql`pragma defer_foreign_keys = on`.execute(trx)
  await trx.insertInto('joining').values({ begun: 1 }).execute()
  const done = await work()
  await trx.deleteFrom('joining').execute()
  return done
}

/** Writes all entries on one chain and gives their hashes. */
export async function appendAll(trx: Database, merged: readonly WholeEntry[]): Promise<string[]> {
  const hashes: string[] = []
  for (const whole of merged) hashes.push(await appendWhole(trx, whole))
  return hashes
}
