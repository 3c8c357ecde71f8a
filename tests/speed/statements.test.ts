import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { bookOfSize } from '../bench/books/book-of-size.ts'
import { runFolder, valleyFile } from '../support/load-valley.ts'
import { pagesOfBook } from './pages-of-book.ts'

/** What a page may ask of the book while nothing is kept. Own choice, no source. */
const MOST = 25
/** What still asks more. A number may only go down; a page that asks as often as there are rows goes beyond any. */
const ABOVE: Record<string, number> = {}

/** What grows with every day of a season; all else grows with people, ground, works and decisions. */
const GROWING =
  `entry abstraction turn transfer charge_line pump_day_reading weather_day level_reading draw_note tank_reading
  tank_day crop_plan crop_end`.split(/\s+/)

let valley: Awaited<ReturnType<typeof pagesOfBook>>
let twoSeasons: Awaited<ReturnType<typeof pagesOfBook>>

beforeAll(async () => {
  valley = await pagesOfBook(readFileSync(await valleyFile()))
  const file = join(runFolder(), 'two-seasons.sqlite')
  await bookOfSize(file, { seasons: 2, households: 28 }, () => {})
  twoSeasons = await pagesOfBook(readFileSync(file))
})

const asked = ({ pages }: typeof valley) =>
  Object.fromEntries(pages.map(({ path, statements }) => [path, statements.length]))
const above = (book: typeof valley) =>
  Object.entries(asked(book)).filter(([path, count]) => count > (ABOVE[path] ?? MOST))

describe('what a page asks of the book', () => {
  it('is within its limit for every kind of page, in a book of one season and of two', () => {
    expect(valley.pages.length).toBeGreaterThan(250)
    expect(twoSeasons.pages.length).toBeGreaterThan(200)
    expect([above(valley), above(twoSeasons)]).toEqual([[], []])
    const most = (path: string) => Math.max(asked(valley)[path] ?? 0, asked(twoSeasons)[path] ?? 0)
    expect(Object.keys(ABOVE).filter((path) => most(path) <= MOST)).toEqual([])
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
      const tables = rows.flatMap(({ detail }) => scannedTable(detail, statement))
      if (tables.length > 0) scanned.push(`${tables} ${path} ${statement.replace(/\s+/g, ' ').slice(0, 140)}`)
    }
    expect(statements.size).toBeGreaterThan(300)
    expect(scanned.filter((one) => !WHOLE.some((pattern) => pattern.test(one)))).toEqual([])
  })
})

/** Read to the end by design: each is asked once in a state of the book and kept, or is a file of all lines. */
const WHOLE: RegExp[] = []

/** The growing table that a step of a plan goes through from end to end; the last row by its place is no such thing. */
function scannedTable(detail: string, statement: string): string[] {
  const name = /^SCAN (\w+)/.exec(detail)?.[1]
  if (name === undefined || /"seq" desc limit/.test(statement)) return []
  const table = new RegExp(`\\b(\\w+)"? as "?${name}\\b`).exec(statement)?.[1] ?? name
  return GROWING.includes(table) ? [table] : []
}
