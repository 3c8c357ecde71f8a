import { readFileSync } from 'node:fs'
import axe from 'axe-core'
import type { Page } from 'playwright-core'

const MEASURES = ['measure.js', 'measure-print.js', 'framed.js']
  .map((name) => readFileSync(new URL(name, import.meta.url), 'utf8'))
  .join('')

/** The narrowest and the widest window, and one between them, in which a page of a make seen before is not measured again. */
const WIDTHS_PX = [360, 1280]
const BETWEEN_PX = 768
const HEIGHT_PX = 740
const PAPER_HEIGHT_PX = 1000
/** A4 is 210 mm by 297 mm; less the margins of the style sheet's own pages, at the 96 px an inch of CSS. */
const UPRIGHT_PX = onScreenPx(210 - 2 * 14)
/** A sheet to cut goes to the edge of the paper, which lies within its last pixel. */
const PAPERS_PX = { sheet: onScreenPx(297 - 2 * 10), board: onScreenPx(297 - 2 * 8), cut: onScreenPx(210) + 1 }
/** The media of a window are changed once for so many pages. */
const SIDE_BY_SIDE = 8
/** Loads nothing ahead: that is for sound and film, of which no page has any, and takes longer than the checks. */
const RULES = { runOnly: ['wcag2a', 'wcag2aa'], resultTypes: ['violations'], preload: false }

/**
 * Looks at pages while the book makes the next ones: on screens and on paper in one window, and for helping tools, which takes longest, in
 * another, whose checker is read in once.
 */
export async function looksAtPages(openFrames: () => Promise<Page>) {
  const [screens, helped] = [await openFrames(), await openFrames()]
  for (const page of [screens, helped]) await page.evaluate(`${MEASURES}framed('', 0, 0).then(() => {})`)
  await helped.mainFrame().childFrames()[0]!.evaluate(axe.source)
  const waiting: { path: string; text: string }[] = []
  const faults: string[] = []
  let measured = Promise.resolve()
  let checked = Promise.resolve()
  const measure = () => {
    const pages = waiting.splice(0)
    measured = measured.then(async () => {
      const found = await faultsOfPages(
        screens,
        pages.map(({ text }) => text),
      )
      faults.push(...pages.flatMap(({ path }, at) => found[at]!.map((fault) => `${path}: ${fault}`)))
    })
  }
  return {
    /** On screens and on paper. */
    measure: (path: string, text: string): void => {
      if (waiting.push({ path, text }) >= SIDE_BY_SIDE) measure()
    },
    /** Between the screens, and by the checker of markup. */
    check: (path: string, text: string): void => {
      const asked = JSON.stringify({ text, widthPx: BETWEEN_PX, heightPx: HEIGHT_PX, rules: RULES })
      checked = checked.then(async () => {
        const found = await helped.evaluate<string[]>(`checkedInFrame(${asked}, faultsOnScreen)`)
        faults.push(...found.map((fault) => `${path}: ${fault}`))
      })
    },
    /** What was found since it was asked last, once all has been looked at. */
    faults: async (): Promise<string[]> => {
      measure()
      await Promise.all([measured, checked])
      return faults.splice(0)
    },
    /** How long a page is on the smallest screen, and its header. */
    lengths: (text: string): Promise<number[]> => {
      const asked = JSON.stringify({ text, widthPx: WIDTHS_PX[0], heightPx: HEIGHT_PX })
      return screens.evaluate<number[]>(`lengthsInFrame(${asked})`)
    },
  }
}

/** On screens, and then on paper, for which the pages need not be read again. */
async function faultsOfPages(page: Page, texts: string[]): Promise<string[][]> {
  const asked = JSON.stringify({ texts, widthsPx: WIDTHS_PX, heightPx: HEIGHT_PX })
  const onScreens = await page.evaluate<string[][]>(`faultsInFrames(${asked}, faultsOnScreen)`)
  const paper = { count: texts.length, uprightPx: UPRIGHT_PX, papersPx: PAPERS_PX, heightPx: PAPER_HEIGHT_PX }
  await page.emulateMedia({ media: 'print' })
  const onPaper = await page.evaluate<string[][]>(`faultsInPapers(${JSON.stringify(paper)}, faultsOnPaper)`)
  await page.emulateMedia({ media: null })
  return texts.map((_, at) => [...onScreens[at]!, ...onPaper[at]!])
}

function onScreenPx(mm: number): number {
  return Math.floor((mm / 25.4) * 96)
}
