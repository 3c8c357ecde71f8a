import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { VALLEY_TODAY } from '../support/valley.ts'
import { describeInBrowser } from './chromium.ts'
import { faultsOfPrint, pagesPrinted } from './print.ts'
import { valleyInBrowser } from './windows.ts'

const PATIENCE_MS = 600_000
const WEEK = '2026-11-23'

/** Parts of a strip, and words of a drawing or a cell, that are cut off. */
const CUT = `[...document.querySelectorAll('.strip, .strip > *, main td, main th')]
  .filter((one) => one.scrollHeight > one.clientHeight + 1 && getComputedStyle(one).overflow === 'hidden' || one.scrollWidth > one.clientWidth + 2)
  .map((one) => one.className + ' ' + one.scrollWidth + ' of ' + one.clientWidth + ' ' + one.textContent.trim().slice(0, 40))`

describeInBrowser('prints in the languages with longer lines', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  beforeAll(async () => {
    valley = await valleyInBrowser()
  }, PATIENCE_MS)
  afterAll(() => valley?.close())

  it.each(['sw', 'pt'])(
    'take as many sheets as in English, with nothing cut: %s',
    async (language) => {
      const plot = await valley.db
        .selectFrom('plot')
        .select('entryId')
        .where('number', '=', 8)
        .executeTakeFirstOrThrow()
      const { onDate, id } = await valley.db
        .selectFrom('turn')
        .select(['onDate', 'id'])
        .where('onDate', '>', VALLEY_TODAY)
        .where('plotId', 'is not', null)
        .executeTakeFirstOrThrow()
      const papers = [
        `/turns/weeks/${WEEK}/sheet`,
        `/turns/weeks/${WEEK}/slips/${onDate}`,
        `/turns/${id}/slip`,
        `/turns/plots/${plot.entryId}?as=card`,
        '/paper/setup-sheet',
        '/paper/pump-log',
        '/money/report',
      ]
      const printed = async (spoken: string) => {
        const page = await valley.openPhone('amaru')
        const sheets: [string, number][] = []
        for (const path of papers) {
          await page.goto(path)
          const pages = await pagesPrinted(page)
          await keepPicture(page, `${spoken}-${path}`)
          sheets.push([path, pages])
          expect([path, await faultsOfPrint(page)]).toEqual([path, []])
          await page.emulateMedia({ media: 'print' })
          expect([path, await page.evaluate(CUT)]).toEqual([path, []])
          await page.emulateMedia({ media: null })
        }
        return { sheets, words: (await page.locator('main').textContent())!.slice(0, 200) }
      }
      const english = await printed('en')
      const amaru = await valley.signIn('amaru')
      await amaru.fill('/people/settle/group-language', { language, fromOn: VALLEY_TODAY })
      const own = await printed(language)
      expect(own.words).not.toBe(english.words)
      expect(own.sheets).toEqual(english.sheets)
      await amaru.fill('/people/settle/group-language', { language: 'en', fromOn: VALLEY_TODAY })
    },
    PATIENCE_MS,
  )
})

/** For whoever wants to look: PRINTS names a folder. */
async function keepPicture(page: Parameters<typeof pagesPrinted>[0], name: string): Promise<void> {
  const folder = process.env.PRINTS
  if (!folder) return
  mkdirSync(folder, { recursive: true })
  await page.pdf({ preferCSSPageSize: true, path: join(folder, `${name.replace(/\W+/g, '-')}.pdf`) })
}
