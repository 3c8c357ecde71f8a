import { gzipSync } from 'node:zlib'
import { moneyBookOf } from './books/money-book.ts'
import { timedMs } from './measure.ts'

const MEMBERS = 200
/** A page of a register goes over a weak signal in one go (the limit of every page of the book). */
const MOST_BYTES = 14_000

const PAGES = [
  '/',
  '/money',
  '/money/members',
  '/money/charges',
  '/money/members/all',
  '/money/receipts',
  '/money/cash-book',
  '/money/held',
  '/money/agree?period=month&on=2026-10-28',
  '/money/agree?period=season&on=2026-10-28',
  '/money/report',
  '/money/all-lines.csv',
  '/money/receipts.csv',
]

/** How long the treasurer of 200 members waits for a page, and what it weighs on its way. */
export async function run(): Promise<string[]> {
  const { db, treasurer, plots } = await moneyBookOf(MEMBERS)
  const { count } = await db
    .selectFrom('transfer')
    .select(({ fn }) => fn.countAll<number>().as('count'))
    .executeTakeFirstOrThrow()
  const lines = [`${MEMBERS} members, ${count} transfers`]
  for (const path of [...PAGES, `/money/members/${plots[0]!.personId}`]) {
    const { ms, result } = await timedMs(() => treasurer.agent.get(path))
    const bytes = gzipSync(result.text).length
    const weight = `${(bytes / 1000).toFixed(1)} kB of ${(result.text.length / 1000).toFixed(0)} kB`
    lines.push(`${path}: ${result.status}, ${Math.round(ms)} ms, ${weight}${bytes > MOST_BYTES ? ', ABOVE 14 kB' : ''}`)
  }
  return lines
}
