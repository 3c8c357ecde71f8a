import { sql } from 'kysely'
import { InputError } from '../../../domain/input-error.ts'
import type { Database } from '../../database/connection.ts'
import { partedBooks, readParted, writeParted } from './parted.ts'
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
 * kept once. What both have from the beginning keeps its hashes; from where they parted on the entries follow each other by
 * the moment of writing, each book's own in the order in which it wrote them, on a new chain. So it is the same book, to the
 * last hash, whichever of the two is named first. How either chain stood is kept beside it (`merge/parted.ts`).
 * Throws InputError `merge-other-group`, `merge-not-empty`, `merge-same-week`, `merge-same-turn`.
 */
export async function mergeBooks(books: { one: Database; other: Database; into: Database }): Promise<Merge> {
  const { into } = books
  const [one, other] = [await readBook(books.one), await readBook(books.other)]
  if ((await readBook(into)).length > 0) throw new InputError('merge-not-empty')
  const ids = new Set(one.map(({ entry }) => entry.id))
  const shared = other.filter(({ entry }) => ids.has(entry.id)).length
  if (shared === 0) throw new InputError('merge-other-group')
  const merged = interleaved(one, other)
  refuseSecondAgreement(merged)
  const parted = [...(await readParted(books.one)), ...(await readParted(books.other))]
  const lastHash = await into.transaction().execute(async (trx) => {
    // Facts of one entry may name each other in any order; the database checks them when all are there.
    await sql`pragma defer_foreign_keys = on`.execute(trx)
    await trx.insertInto('joining').values({ begun: 1 }).execute()
    const hashes = await appendAll(trx, merged)
    await trx.deleteFrom('joining').execute()
    await writeParted(trx, [...parted, ...partedBooks(one, other)])
    return hashes.at(-1)!
  })
  const { length: entries } = merged
  return { onlyOne: one.length - shared, onlyOther: other.length - shared, shared, entries, lastHash }
}

/** Both in their own order, the earlier written first; which of them is named first makes no difference. */
function interleaved(one: readonly WholeEntry[], other: readonly WholeEntry[]): WholeEntry[] {
  const taken = new Set<string>()
  const merged: WholeEntry[] = []
  let [i, j] = [0, 0]
  for (;;) {
    while (i < one.length && taken.has(one[i]!.entry.id)) i++
    while (j < other.length && taken.has(other[j]!.entry.id)) j++
    const [a, b] = [one[i], other[j]]
    const next = a && b ? (momentOf(a) <= momentOf(b) ? a : b) : (a ?? b)
    if (!next) return merged
    taken.add(next.entry.id)
    merged.push(next)
  }
}

function momentOf({ entry }: WholeEntry): string {
  return `${entry.writtenAt} ${entry.id}`
}

/** A week is agreed once; two agreements about it cannot both hold, and nobody but the group can choose. */
function refuseSecondAgreement(merged: readonly WholeEntry[]): void {
  const [weeks, turns] = [new Set<unknown>(), new Set<unknown>()]
  for (const [table, row] of merged.flatMap(({ facts }) => facts)) {
    if (table === 'publishedWeek') {
      if (weeks.has(row.weekStartOn)) throw new InputError('merge-same-week', { on: String(row.weekStartOn) })
      weeks.add(row.weekStartOn)
    } else if (table === 'turn') {
      if (turns.has(row.id)) throw new InputError('merge-same-turn', { turn: String(row.id) })
      turns.add(row.id)
    }
  }
}

/** Writes all entries on one chain and gives their hashes. */
async function appendAll(trx: Database, merged: readonly WholeEntry[]): Promise<string[]> {
  const hashes: string[] = []
  for (const whole of merged) hashes.push(await appendWhole(trx, whole))
  return hashes
}
