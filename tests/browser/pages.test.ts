import { readFileSync } from 'node:fs'
import axe from 'axe-core'
import { HTMLElement } from 'node-html-parser'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { walk } from '../support/walk.ts'
import { describeInBrowser } from './chromium.ts'
import { valleyInBrowser } from './windows.ts'

const MEASURE = readFileSync(new URL('measure.js', import.meta.url), 'utf8')
const MEASURE_PRINT = readFileSync(new URL('measure-print.js', import.meta.url), 'utf8')

/** Long enough for a busy machine; nothing here is timed. */
const PATIENCE_MS = 1_800_000
/** The narrowest and the widest window, and one between them, in which a page of a make seen before is not measured again. */
const WIDTHS_PX = [360, 1280]
const BETWEEN_PX = 768
/** A4 is 210 mm by 297 mm; less the margins of the style sheet's own pages, at the 96 px an inch of CSS. */
const UPRIGHT_MM = 210 - 2 * 14
const WIDTHS_MM: Record<string, number> = { sheet: 297 - 2 * 10, board: 297 - 2 * 8, cut: 210 }
const PAGE_OF_PAPER = 'getComputedStyle(document.body).page'
const PEOPLE = ['amaru', 'dovi', 'fanta', 'goro', 'hila', 'isko']

describeInBrowser('every kind of page', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  let window: Page
  beforeAll(async () => {
    valley = await valleyInBrowser()
    // Only the checker runs in it: a page of the book holds no script, and its policy forbids any.
    window = await valley.openWindow({ scripts: true })
    await window.goto('/session/new')
    await window.evaluate(axe.source)
  })
  afterAll(() => valley?.close())

  it.each(PEOPLE)(
    'fits small and large windows, thumbs, paper and helping tools for %s',
    async (name) => {
      const opened = await walk(await valley.signIn(name), { pagesOfAKind: 1 })
      expect(opened.length).toBeGreaterThan(100)
      const faults = opened
        .filter(({ status }) => status !== 200)
        .map(({ path, status }) => `${path}: answers ${status}`)
      faults.push(
        ...opened
          .filter(({ words }) => /undefined|NaN|\[object|Infinity/.test(words))
          .map(({ path }) => `${path}: bare value`),
      )
      for (const { path, text, html } of opened) {
        const main = html.querySelector('main')
        if (!main || !isNew(shown, lasting(main.innerHTML))) continue
        await window.setContent(text)
        const found = [...(await faultsOnPaper(window)), ...(await faultsOnScreens(window, WIDTHS_PX))]
        if (isNew(makes, makeOf(main)))
          found.push(...(await faultsOnScreens(window, [BETWEEN_PX])), ...(await faultsByAxe(window)))
        faults.push(...found.map((fault) => `${path}: ${fault}`))
      }
      expect(faults).toEqual([])
    },
    PATIENCE_MS,
  )
})

/** What was measured already, for whoever it was: the very same page, and for the checker of markup one of the same make. */
const shown = new Set<string>()
const makes = new Set<string>()

function isNew(known: Set<string>, one: string): boolean {
  const before = known.size
  return known.add(one).size > before
}

/** But for one-time keys. */
function lasting(html: string): string {
  return html.replace(/<input type="hidden"[^>]*>/g, '')
}

/** The elements in each other without their words; of like neighbours one. */
function makeOf(element: HTMLElement): string {
  const inside = element.childNodes.filter((node) => node instanceof HTMLElement).map(makeOf)
  const told = inside.filter((make, at) => make !== inside[at - 1])
  return `${element.tagName}.${element.classNames}.${element.getAttribute('type')}(${told.join(' ')})`
}

async function faultsOnScreens(page: Page, widthsPx: readonly number[]): Promise<string[]> {
  const faults: string[] = []
  for (const width of widthsPx) {
    await page.setViewportSize({ width, height: 740 })
    const found = await page.evaluate<string[]>(MEASURE)
    faults.push(...found.map((fault) => `at ${width} px ${fault}`))
  }
  return faults
}

async function faultsOnPaper(page: Page): Promise<string[]> {
  await page.emulateMedia({ media: 'print' })
  const paper = await page.evaluate<string>(PAGE_OF_PAPER)
  const width = Math.floor(((WIDTHS_MM[paper] ?? UPRIGHT_MM) / 25.4) * 96)
  await page.setViewportSize({ width, height: 1000 })
  const faults = await page.evaluate<string[]>(MEASURE_PRINT)
  await page.emulateMedia({ media: 'screen' })
  return faults
}

interface AxeResult {
  violations: { id: string; nodes: { target: unknown[]; failureSummary: string }[] }[]
}

/** Loads nothing ahead: that is for sound and film, of which no page has any, and takes longer than the checks. */
async function faultsByAxe(page: Page): Promise<string[]> {
  const { violations } = await page.evaluate<AxeResult>(
    "axe.run(document, { runOnly: ['wcag2a', 'wcag2aa'], resultTypes: ['violations'], preload: false })",
  )
  return violations.map(({ id, nodes }) => `${id} ${nodes[0]!.target} ${nodes[0]!.failureSummary} (${nodes.length})`)
}
