import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { describeInBrowser } from './chromium.ts'
import { faultsOfPrint, pagesPrinted } from './print.ts'
import { valleyInBrowser } from './windows.ts'

const PATIENCE_MS = 600_000

/** What hangs where everybody sees it bears nothing of money. */
const MONEY = /XOF|\bpaid\b|\bowes?\b|price|receipt|debt|fine of/i

describeInBrowser('prints', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  beforeAll(async () => {
    valley = await valleyInBrowser()
  }, PATIENCE_MS)
  afterAll(() => valley?.close())

  /** The page as it is printed, how many sheets it takes, and what is wrong with them. */
  async function print(name: 'amaru' | 'fanta', path: string) {
    const page = await valley.openPhone(name, path)
    return { page, pages: await pagesPrinted(page), faults: await faultsOfPrint(page), words: await wordsOf(page) }
  }

  it(
    'hang one sheet at each pump, in every published week, with blocks that do not lie on each other and empty boxes',
    async () => {
      const weeks = await valley.db.selectFrom('publishedWeek').select('weekStartOn').distinct().execute()
      for (const { weekStartOn } of weeks) {
        const { page, pages, faults, words } = await print('amaru', `/turns/weeks/${weekStartOn}/sheet`)
        const sheets = await page.locator('.board-leaf').count()
        const notes = await page.locator('.leaf-notes:not(.no-print)').count()
        expect([weekStartOn, pages, faults]).toEqual([weekStartOn, sheets + notes, []])
        expect([weekStartOn, words.match(MONEY), words.match(/…/)]).toEqual([weekStartOn, null, null])
        expect(await page.evaluate(OVERLAPS)).toEqual([])
        const parts = await page.evaluate<number[]>(PARTS)
        expect(parts.length).toBeGreaterThan(0)
        expect(parts.filter((count) => count !== 1)).toEqual([])
      }
    },
    PATIENCE_MS,
  )

  it(
    'cut four slips from a sheet, each with its stub and its copy, boxes for what is read, and nothing of money',
    async () => {
      const { weekStartOn } = await valley.db
        .selectFrom('publishedWeek')
        .select('weekStartOn')
        .orderBy('weekStartOn', 'desc')
        .executeTakeFirstOrThrow()
      const turns = await valley.db.selectFrom('turn').select('onDate').where('id', 'like', `${weekStartOn}%`).execute()
      for (const on of new Set(turns.map(({ onDate }) => onDate))) {
        const { page, pages, faults, words } = await print('amaru', `/turns/weeks/${weekStartOn}/slips/${on}`)
        const strips = await page.locator('.strip').count()
        expect([on, strips, pages, faults]).toEqual([
          on,
          turns.filter(({ onDate }) => onDate === on).length,
          Math.ceil(strips / 4),
          [],
        ])
        expect([on, words.match(MONEY)]).toEqual([on, null])
        expect(await page.locator('.strip .stub').count()).toBe(2 * strips)
        expect(await page.evaluate(CUT)).toEqual([])
      }
    },
    PATIENCE_MS,
  )

  it(
    'are forms and books of so many sheets, nothing cut, in black and at least 9 pt',
    async () => {
      const weirs = await valley.db.selectFrom('weir').select('entryId').execute()
      const plot = await valley.db
        .selectFrom('plot')
        .select('entryId')
        .where('number', '=', 8)
        .executeTakeFirstOrThrow()
      const sheets = [
        ...weirs.map(({ entryId }) => ['amaru', `/water/weirs/${entryId}/board`, 1] as const),
        ['amaru', '/crops/weather?as=sheet&month=2026-10', 1],
        ['amaru', `/turns/plots/${plot.entryId}?as=card`, 2],
        ['fanta', '/money/report', 1],
        ['amaru', '/paper/setup-sheet', 2],
        ['amaru', '/paper/pump-log', 1],
        ['amaru', '/paper/pump-readings', 1],
        ['amaru', '/paper/weather', 1],
        ['fanta', '/paper/cash-book', 1],
        ['fanta', '/money/receipts/1', 1],
      ] as const
      for (const [name, path, count] of sheets) {
        const { page, pages, faults } = await print(name, path)
        expect([path, pages, faults, await page.evaluate(CUT)]).toEqual([path, count, [], []])
      }
      const { page, pages, faults, words } = await print('fanta', '/money/cash-book?from=2026-08-01&to=2026-11-28')
      const leaves = await page.locator('.cash-leaf').count()
      expect(leaves).toBeGreaterThan(2)
      expect([pages, faults]).toEqual([leaves, []])
      expect([words.match(/Carried forward/g)?.length, words.match(/In all/g)?.length]).toEqual([leaves - 1, 1])
      const held = await page.evaluate<string[][]>(HELD)
      for (const [at, [opening]] of held.entries()) if (at > 0) expect(opening).toBe(held[at - 1]![1])
    },
    PATIENCE_MS,
  )

  it(
    'hold all rows to fill in on the first sheet, before the lists of numbers',
    async () => {
      for (const book of ['slips', 'pump-readings', 'tanks', 'levels', 'weather', 'flow-tests', 'requests']) {
        const { page, faults } = await print('amaru', `/paper/${book}`)
        expect([book, faults]).toEqual([book, []])
        expect([book, await page.evaluate(TABLE_ALONE)]).toEqual([book, 16])
        expect([book, await pagesPrinted(page)]).toEqual([book, 1])
      }
    },
    PATIENCE_MS,
  )
})

/** Takes away what follows the rows of a form, and tells how many rows there are. */
const TABLE_ALONE = `(() => {
  for (const one of document.querySelectorAll('.paper-sheet > .ruled ~ *')) one.remove()
  return document.querySelectorAll('table.blank tbody tr').length
})()`

/** What each sheet of the cash book begins with, and what it carries on. */
const HELD = `[...document.querySelectorAll('.cash-leaf')].map((sheet) => {
  const rows = [...sheet.querySelectorAll('.carried')].map((row) => [...row.querySelectorAll('td.n[data-label]')].map((cell) => cell.textContent.trim()).join(' '))
  return [rows[0], rows.at(-1)]
})`

/** Parts of a strip that are higher than it and so would be cut off. */
const CUT = `[...document.querySelectorAll('.strip, .strip > *')].filter((one) => one.scrollHeight > one.clientHeight + 1)
  .map((one) => one.className + ' ' + one.scrollHeight + ' of ' + one.clientHeight)`

function wordsOf(page: Page): Promise<string> {
  return page.evaluate<string>('document.querySelector("main").innerText')
}

/** How many boxes to fill in each block has. */
const PARTS = `[...document.querySelectorAll('.block')].map((block) => block.querySelectorAll('.d-part').length)`

/** Frames of blocks that share ground, in each sheet. */
const OVERLAPS = `[...document.querySelectorAll('.board-leaf')].flatMap((sheet) => {
  const frames = [...sheet.querySelectorAll('.block > .d-frame, .filling > .d-frame')]
  const boxes = frames.map((one) => one.getBoundingClientRect())
  const areApart = (one, two) =>
    one.left > two.right - 1 || two.left > one.right - 1 || one.top > two.bottom - 1 || two.top > one.bottom - 1
  return boxes.flatMap((one, at) => boxes.slice(at + 1).filter((two) => !areApart(one, two)).map(({ top }) => top))
})`
