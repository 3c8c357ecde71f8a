import { readFileSync } from 'node:fs'
import axe from 'axe-core'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { describeInBrowser } from './chromium.ts'
import { eachKindOfPage, signIn, valleyInBrowser } from './walk.ts'

const MEASURE = readFileSync(new URL('measure.js', import.meta.url), 'utf8')
const MEASURE_PRINT = readFileSync(new URL('measure-print.js', import.meta.url), 'utf8')

/** Long enough for a busy machine; nothing here is timed. */
const PATIENCE_MS = 1_800_000
const WIDTHS_PX = [360, 768, 1280]
/** A4 is 210 mm by 297 mm; less the margins of the style sheet, at the 96 px an inch of CSS. */
const UPRIGHT_PX = Math.floor(((210 - 2 * 14) / 25.4) * 96)
const ACROSS_PX = Math.floor(((297 - 2 * 10) / 25.4) * 96)
/** True for the blank forms and the sheet for the board, which the style sheet prints across the paper. */
const PRINTS_ACROSS = "['sheet', 'board'].includes(getComputedStyle(document.body).page)"
const examinedPages = new Set<string>()
const PEOPLE = ['amaru', 'dovi', 'fanta', 'goro', 'hila', 'isko']

describeInBrowser('every kind of page', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  beforeAll(async () => {
    valley = await valleyInBrowser()
  })
  afterAll(() => valley?.close())

  it.each(PEOPLE)(
    'fits small and large windows, thumbs, paper and helping tools for %s',
    async (name) => {
      // Only the checker runs in it: a page of the book holds no script, and its policy forbids any.
      const page = await valley.openWindow({ scripts: true })
      await signIn(page, name)
      const faults: string[] = []
      const opened = await eachKindOfPage(page, async (path, status) => {
        if (status !== 200) return void faults.push(`${path}: answers ${status}`)
        if (await isKnown(page)) return
        const found = [...(await faultsOnPaper(page)), ...(await faultsOnScreens(page)), ...(await faultsByAxe(page))]
        faults.push(...found.map((fault) => `${path}: ${fault}`))
      })
      await page.context().close()
      expect(opened).toBeGreaterThan(10)
      expect(faults).toEqual([])
    },
    PATIENCE_MS,
  )
})

/** True when somebody else was shown the very same page, but for one-time keys and its head, which each shows on other pages. */
async function isKnown(page: Page): Promise<boolean> {
  const shown = await page.evaluate<string>("document.querySelector('main').innerHTML")
  const lasting = shown.replace(/<input type="hidden"[^>]*>/g, '')
  if (examinedPages.has(lasting)) return true
  examinedPages.add(lasting)
  return false
}

async function faultsOnScreens(page: Page): Promise<string[]> {
  const faults: string[] = []
  for (const width of WIDTHS_PX) {
    await page.setViewportSize({ width, height: 740 })
    const found = await page.evaluate<string[]>(MEASURE)
    faults.push(...found.map((fault) => `at ${width} px ${fault}`))
  }
  return faults
}

async function faultsOnPaper(page: Page): Promise<string[]> {
  await page.emulateMedia({ media: 'print' })
  const width = (await page.evaluate<boolean>(PRINTS_ACROSS)) ? ACROSS_PX : UPRIGHT_PX
  await page.setViewportSize({ width, height: 1000 })
  const faults = await page.evaluate<string[]>(MEASURE_PRINT)
  await page.emulateMedia({ media: 'screen' })
  return faults
}

interface AxeResult {
  violations: { id: string; nodes: { target: unknown[]; failureSummary: string }[] }[]
}

/** The checker is put in from outside; it needs timers, and so a window with scripts. */
async function faultsByAxe(page: Page): Promise<string[]> {
  await page.evaluate(axe.source)
  const { violations } = await page.evaluate<AxeResult>(
    "axe.run(document, { runOnly: ['wcag2a', 'wcag2aa'], resultTypes: ['violations'] })",
  )
  return violations.map(({ id, nodes }) => `${id} ${nodes[0]!.target} ${nodes[0]!.failureSummary} (${nodes.length})`)
}
