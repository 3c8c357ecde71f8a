import { readFileSync } from 'node:fs'
import axe from 'axe-core'
import { HTMLElement } from 'node-html-parser'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { readerOfValley } from '../support/valley.ts'
import { kindOf, walk } from '../support/walk.ts'
import { describeInBrowser } from './chromium.ts'
import { valleyInBrowser } from './windows.ts'

const MEASURES = ['measure.js', 'measure-print.js', 'framed.js']
  .map((name) => readFileSync(new URL(`measuring/${name}`, import.meta.url), 'utf8'))
  .join('')

/** Long enough for a busy machine; nothing here is timed. */
const PATIENCE_MS = 1_800_000
/** The narrowest and the widest window, and one between them, in which a page of a make seen before is not measured again. */
const WIDTHS_PX = [360, 1280]
const BETWEEN_PX = 768
const HEIGHT_PX = 740
const PAPER_HEIGHT_PX = 1000
/** A4 is 210 mm by 297 mm; less the margins of the style sheet's own pages, at the 96 px an inch of CSS. */
const UPRIGHT_PX = onScreenPx(210 - 2 * 14)
/** A sheet to cut goes to the edge of the paper, which lies within its last pixel. */
const PAPERS_PX = { sheet: onScreenPx(297 - 2 * 10), board: onScreenPx(297 - 2 * 8), cut: onScreenPx(210) + 1 }
const PEOPLE = ['amaru', 'dovi', 'fanta', 'goro', 'hila', 'isko']

/** On the least phone that is counted with: the longest list page and the most that its header takes. */
const LONGEST_PX = 3000
const HEADER_PX = 108

/** Pages of lists, which grow with the group. */
const LISTS = [
  ['hila', '/'],
  ['dovi', '/'],
  ['amaru', '/'],
  ['fanta', '/'],
  ['goro', '/'],
  ['isko', '/'],
  ['hila', '/turns/weeks/2026-11-23'],
  ['dovi', '/log/days/2026-11-25'],
  ['hila', '/turns/fair'],
  ['hila', '/crops'],
  ['hila', '/water'],
  ['amaru', '/people'],
  ['fanta', '/money'],
  ['fanta', '/money/members'],
  ['fanta', '/money/agree'],
  ['amaru', '/crops/planting'],
  ['amaru', '/turns/rule'],
  ['dovi', '/log/round?moment=dawn'],
  ['dovi', '/log/check'],
  ['dovi', '/log/faults'],
  ['dovi', '/log/tests'],
  ['dovi', '/log/lines/tank-day'],
  ['goro', '/log/working/pumps'],
  ['goro', '/water/went'],
  ['fanta', '/money/charges'],
  ['fanta', '/money/vouchers'],
  ['fanta', '/money/price'],
  ['fanta', '/money/held'],
  ['fanta', '/money/receipts'],
  ['fanta', '/money/report'],
  ['amaru', '/people/decisions'],
  ['amaru', '/people/languages'],
  ['amaru', '/water/kept'],
  ['amaru', '/water/lasts'],
  ['amaru', '/water/dry'],
  ['amaru', '/water/walls'],
  ['amaru', '/works'],
  ['amaru', '/crops/list'],
  ['amaru', '/crops/season'],
  ['amaru', '/crops?as=hurt'],
  ['amaru', '/crops/weather'],
  ['amaru', '/crops/figures'],
  ['amaru', '/turns/asked?as=free'],
  ['amaru', '/book'],
  ['amaru', '/book/files'],
  ['hila', '/turns/weeks/2026-11-23/compare'],
] as const

describeInBrowser('every kind of page', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  // Only checkers run in them: a page of the book holds no script, and its policy forbids any.
  let window: Page
  let screens: Page
  beforeAll(async () => {
    valley = await valleyInBrowser()
    window = await valley.openWindow({ scripts: true })
    await window.goto('/sign-in')
    await window.setViewportSize({ width: BETWEEN_PX, height: HEIGHT_PX })
    await window.evaluate(axe.source)
    screens = await valley.openFrames()
    for (const page of [window, screens]) await page.evaluate(MEASURES)
  })
  afterAll(() => valley?.close())

  it.each(PEOPLE)(
    'fits small and large windows, thumbs, paper and helping tools for %s',
    async (name) => {
      const opened = await walk(await readerOfValley(name), { pagesOfAKind: 1 })
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
        if (!main || !isNew(shown, `${kindOf(path)} ${makeOf(main)}`)) continue
        const found = [...(await faultsOnScreens(screens, text)), ...(await faultsOnPaper(screens))]
        if (holdsNewPair(main)) found.push(...(await faultsBetween(window, text)))
        faults.push(...found.map((fault) => `${path}: ${fault}`))
      }
      expect(faults).toEqual([])
    },
    PATIENCE_MS,
  )

  it.each(LISTS)('shows %s %s in at most three thousand pixels under a small header', async (who, path) => {
    const { text } = await (await readerOfValley(who)).open(path)
    const asked = JSON.stringify({ text, widthPx: WIDTHS_PX[0], heightPx: HEIGHT_PX })
    const [pagePx, headerPx] = await screens.evaluate<number[]>(`lengthsInFrame(${asked})`)
    expect(pagePx).toBeLessThanOrEqual(LONGEST_PX)
    expect(headerPx).toBeLessThanOrEqual(HEADER_PX)
  })
})

/** What was measured already, for whoever it was: a page of the same kind and make. */
const shown = new Set<string>()
/** What the checker of markup saw already: an element within another of a make. */
const pairs = new Set<string>()

function isNew(known: Set<string>, one: string): boolean {
  const before = known.size
  return known.add(one).size > before
}

/** Whether something stands within something that the checker of markup, which takes longest, never saw there. */
function holdsNewPair(element: HTMLElement): boolean {
  const inside = element.childNodes.filter((node) => node instanceof HTMLElement)
  const here = inside.filter((child) => isNew(pairs, `${markOf(element)} > ${markOf(child)}`)).length > 0
  return inside.filter(holdsNewPair).length > 0 || here
}

function markOf({ tagName, classNames, attributes }: HTMLElement): string {
  const { type, role } = attributes
  const told = Object.keys(attributes).filter((name) => name.startsWith('aria-'))
  return [tagName, classNames, type, role, ...told].join('.')
}

/** The elements in each other without their words; of like neighbours one. */
function makeOf(element: HTMLElement): string {
  const inside = element.childNodes.filter((node) => node instanceof HTMLElement).map(makeOf)
  const told = inside.filter((make, at) => make !== inside[at - 1])
  return `${element.tagName}.${element.classNames}.${element.getAttribute('type')}(${told.join(' ')})`
}

function onScreenPx(mm: number): number {
  return Math.floor((mm / 25.4) * 96)
}

async function faultsOnScreens(page: Page, text: string): Promise<string[]> {
  const asked = JSON.stringify({ text, widthsPx: WIDTHS_PX, heightPx: HEIGHT_PX })
  return page.evaluate<string[]>(`faultsInFrames(${asked}, faultsOnScreen)`)
}

/** The same page, which need not be read again for it. */
async function faultsOnPaper(page: Page): Promise<string[]> {
  const asked = JSON.stringify({ uprightPx: UPRIGHT_PX, papersPx: PAPERS_PX, heightPx: PAPER_HEIGHT_PX })
  await page.emulateMedia({ media: 'print' })
  const found = await page.evaluate<string[]>(`faultsInPaper(${asked}, faultsOnPaper)`)
  await page.emulateMedia({ media: null })
  return found
}

/** A page of a new make, in a window of its own. */
async function faultsBetween(window: Page, text: string): Promise<string[]> {
  await window.setContent(text)
  const found = await window.evaluate<string[]>('faultsOnScreen(document, innerWidth)')
  return [...found.map((fault) => `at ${BETWEEN_PX} px ${fault}`), ...(await faultsByAxe(window))]
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
