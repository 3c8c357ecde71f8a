import type { Pen } from '../../server/book/entries.ts'
import type { Database } from '../../server/database/connection.ts'
import { addPlot } from '../../server/people/plot/store.ts'
import { makeFormat } from '../../server/web/figures/format.ts'
import { OWN_GROUP, startedBook } from '../support/book.ts'

/** A day as pages write it. */
export const shown = makeFormat('en', 'UTC').date

/** Writes straight through the stores, as the first person of the book. */
export async function withPen<T>(db: Database, work: (pen: Pen) => Promise<T>): Promise<T> {
  const { entryId } = await db.selectFrom('person').select('entryId').orderBy('number').executeTakeFirstOrThrow()
  return db.transaction().execute((trx) => work({ trx, writtenBy: entryId, writtenAt: '2026-06-04T05:00:00.000Z' }))
}

/** A plot of 400 m2 of sandy loam under drip. */
export async function onPlot(
  db: Database,
  change: { number?: number; name?: string; areaM2?: number; method?: string; soil?: string; shares?: number } = {},
): Promise<string> {
  const usual = { number: 1, name: 'Ford plot', areaM2: 400, method: 'drip', soil: 'sandy_loam', shares: 1 }
  const plot = { ...usual, ...change }
  const person = await db.selectFrom('person').select('entryId').orderBy('number').executeTakeFirstOrThrow()
  const rest = { outletIds: [], holderIds: [person.entryId], fromOn: '2026-01-01' }
  return withPen(db, (pen) => addPlot(pen, { ...plot, ...rest }))
}

/** A book that was begun on the day its first crops were sown, as it is some days later; water is known of from its beginning on. */
export async function bookSince(begunAt: string, now: string) {
  const book = await startedBook(begunAt)
  book.setNow(now)
  await book.ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
  return book
}
