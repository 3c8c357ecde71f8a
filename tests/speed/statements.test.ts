import { rollup } from 'd3-array'
import { sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { writtenBook } from '../bench/books/book-of-size.ts'
import { serialized } from '../support/serialized.ts'
import { everyOffice, giveEveryOffice, readerOfEveryOffice } from '../support/valley.ts'
import { pagesOfBook } from './pages-of-book.ts'

/** What a page may ask of the book while nothing is kept. Own choice, no source. */
const MOST = 25
/** What is reckoned of a draft from the whole season, and the first page that shows it. Own choice, no source. */
const MOST_OF_DRAFT = 60
const STILL_ABOVE = `/ /turns/weeks/:start?draft /turns/weeks/:start/publish?draft
  /turns/weeks/:start/change?draft /turns/weeks/:start/changes?draft /turns/weeks/:start/compare?draft
  /turns/working/why/:start/:plotId?draft /turns/working/pump/:start/:pumpId?draft
  /turns/working/given/:start/:weirId?draft /turns/working/left/:start/:weirId?draft`.split(/\s+/)
/** More often than this one page asks nothing in the same words: it asks for all at once. */
const MOST_ALIKE = 6

/** What grows with every day of a season; all else grows with people, ground, works and decisions. */
const GROWING =
  `entry abstraction turn transfer charge_line pump_day_reading weather_day level_reading draw_note tank_reading
  tank_day`.split(/\s+/)

let valley: Awaited<ReturnType<typeof pagesOfBook>>
let twoSeasons: Awaited<ReturnType<typeof pagesOfBook>>

beforeAll(async () => {
  valley = await pagesOfBook(await everyOffice(), await readerOfEveryOffice())
  const two = await writtenBook({ seasons: 2, households: 28 }, () => {})
  await giveEveryOffice(two)
  twoSeasons = await pagesOfBook(await serialized(two))
  await two.destroy()
})

const asked = ({ pages }: typeof valley) =>
  Object.fromEntries(pages.map(({ path, statements }) => [path, statements.length]))
const mostOf = (path: string) => (STILL_ABOVE.includes(path) ? MOST_OF_DRAFT : MOST)
const above = (book: typeof valley) => Object.entries(asked(book)).filter(([path, count]) => count > mostOf(path))

describe('what a page asks of the book', () => {
  it('is within its limit for every kind of page, in a book of one season and of two', () => {
    expect(valley.pages.length).toBeGreaterThan(250)
    expect(twoSeasons.pages.length).toBeGreaterThan(200)
    expect([above(valley), above(twoSeasons)]).toEqual([[], []])
    const most = (path: string) => Math.max(asked(valley)[path] ?? 0, asked(twoSeasons)[path] ?? 0)
    expect(STILL_ABOVE.filter((path) => most(path) <= MOST)).toEqual([])
  })

  it('is asked for all rows at once, and not row by row', () => {
    const often = [...valley.pages, ...twoSeasons.pages].flatMap(({ path, statements }) =>
      [
        ...rollup(
          statements,
          ({ length }) => length,
          (statement) => statement,
        ),
      ]
        .filter(([, count]) => count > MOST_ALIKE)
        .map(([statement, count]) => `${path}: ${count} times ${statement.slice(0, 120)}`),
    )
    expect(often).toEqual([])
  })

  it('goes through no register that grows with every day, but for what shows or sums up all of it', async () => {
    const statements = new Map(
      [...valley.pages, ...twoSeasons.pages].flatMap(({ path, statements: of }) =>
        of.map((one) => [one, path] as const),
      ),
    )
    const scanned: string[] = []
    for (const [statement, path] of statements) {
      if (!/^\s*(select|with)/i.test(statement)) continue
      const asks = `explain query plan ${statement.replaceAll('?', 'null')}`
      const { rows } = await sql.raw<{ detail: string }>(asks).execute(valley.db)
      const sorts = rows.some(({ detail }) => /TEMP B-TREE/.test(detail))
      if (/limit \?$/.test(statement) && !sorts) continue
      const tables = rows.flatMap(({ detail }) => scannedTable(detail, statement))
      if (tables.length > 0) scanned.push(`${tables} ${path} ${statement.replace(/\s+/g, ' ').slice(0, 400)}`)
    }
    expect(statements.size).toBeGreaterThan(300)
    expect(scanned.filter((one) => !WHOLE.some((pattern) => pattern.test(one)))).toEqual([])
  })
})

/** Read to the end by design: what is asked once in a state of the book and kept, and files of all lines. */
const WHOLE = [
  /"transfer"."debit_account_id"/, // The whole ledger.
  /select "id", "volume_m3" from "turn"$/, // What was agreed, for all charges that are due.
  /"ahead"."written_at" as "ahead_at"/, // Where the machine's clock leapt between two lines of the log.
  /select count\(\*\) as "entries" from "entry"$/,
  /min\("on_date"\) as "first", max\("on_date"\) as "last" from "weather_day"/,
  / (\/paper\/(whole|lines)|\/book\/files)/,
]

/** The growing table that a step of a plan goes through from end to end; an index that holds few of its lines is no such thing. */
function scannedTable(detail: string, statement: string): string[] {
  const name = /^SCAN (\w+)/.exec(detail)?.[1]
  const isShort = /USING .*INDEX (entry_by_correction|pump_day_reading_by_hours)/.test(detail)
  if (name === undefined || isShort) return []
  const table = new RegExp(`\\b(\\w+)"? as "?${name}\\b`).exec(statement)?.[1] ?? name
  return GROWING.includes(table) ? [table] : []
}
