import { rollup } from 'd3-array'
import { openOtherBook } from '../../book/joining/other-book.ts'
import { clashesOf } from '../../book/merge/clashes.ts'
import { mergePlan } from '../../book/merge/plan.ts'
import { broughtBy, rulingsAmong } from '../../book/merge/rulings.ts'
import { readBook } from '../../book/merge/whole-entry.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { broughtByWriter, tellRulings } from './joinings-store.ts'

/** Does something with the book in a file of another device. Throws InputError as `openOtherBook`. */
export async function withOther<T>(bytes: Buffer, at: Date, work: (other: Database) => Promise<T>): Promise<T> {
  const other = await openOtherBook(bytes, at)
  try {
    return await work(other)
  } finally {
    await other.destroy()
  }
}

/** What joining a file would bring into this book, in words. Throws InputError as `openOtherBook` and `mergePlan`. */
export async function previewOf(
  desk: Pick<Desk, 'db' | 'at' | 't' | 'format' | 'locale' | 'may' | 'request'>,
  bytes: Buffer,
) {
  return withOther(bytes, desk.at, async (other) => {
    const [own, theirs] = [await readBook(desk.db), await readBook(other)]
    const { onlyOne, onlyOther, shared } = mergePlan(own, theirs)
    const brought = broughtBy(own, theirs)
    const clashes = rollup(
      clashesOf(broughtBy(theirs, own), brought),
      (same) => same.length,
      ({ kind }) => kind,
    )
    return {
      onlyHere: onlyOne,
      brought: onlyOther,
      shared,
      clashes: [...clashes].map(([kind, count]) => ({ words: desk.t(`works.clash.${kind}`), count })),
      writers: broughtByWriter(desk, (key) => desk.locale.has(key), brought, await namesIn(other)),
      rulings: await tellRulings(desk, other, rulingsAmong(brought)),
    }
  })
}

async function namesIn(other: Database): Promise<Map<string, string>> {
  const persons = await other.selectFrom('person').select(['entryId', 'name']).execute()
  return new Map(persons.map(({ entryId, name }) => [entryId, name]))
}
