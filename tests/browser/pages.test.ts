import { HTMLElement } from 'node-html-parser'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { readerOfValley } from '../support/valley.ts'
import type { Seen } from '../support/visitor.ts'
import { kindOf, pagesOnWalk } from '../support/walk.ts'
import { describeInBrowser } from './chromium.ts'
import { looksAtPages } from './measuring/looks.ts'
import { valleyInBrowser } from './windows.ts'

/** Long enough for a busy machine; nothing here is timed. */
const PATIENCE_MS = 1_800_000
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
  // Only checkers run in its windows: a page of the book holds no script, and its policy forbids any.
  let looks: Awaited<ReturnType<typeof looksAtPages>>
  beforeAll(async () => {
    valley = await valleyInBrowser()
    looks = await looksAtPages(valley.openFrames)
  })
  afterAll(() => valley?.close())

  it.each(PEOPLE)(
    'fits small and large windows, thumbs, paper and helping tools for %s',
    async (name) => {
      let opened = 0
      const faults: string[] = []
      for await (const page of pagesOnWalk(await readerOfValley(name), { pagesOfAKind: 1 })) {
        opened++
        faults.push(...faultsOfAnswer(page))
        const main = page.html.querySelector('main')
        if (!main || !isNew(shown, `${kindOf(page.path)} ${makeOf(main)}`)) continue
        looks.measure(page.path, page.text)
        if (holdsNewPair(main)) looks.check(page.path, page.text)
      }
      expect(opened).toBeGreaterThan(100)
      faults.push(...(await looks.faults()))
      expect(faults).toEqual([])
    },
    PATIENCE_MS,
  )

  it.each(LISTS)('shows %s %s in at most three thousand pixels under a small header', async (who, path) => {
    const { text } = await (await readerOfValley(who)).open(path)
    const [pagePx, headerPx] = await looks.lengths(text)
    expect(pagePx).toBeLessThanOrEqual(LONGEST_PX)
    expect(headerPx).toBeLessThanOrEqual(HEADER_PX)
  })
})

/** What was measured already, for whoever it was: a page of the same kind and make. */
const shown = new Set<string>()
/** What the checker of markup saw already: an element within another of a make. */
const pairs = new Set<string>()

function faultsOfAnswer({ path, status, words }: Seen): string[] {
  const isBare = /undefined|NaN|\[object|Infinity/.test(words)
  return [...(status === 200 ? [] : [`${path}: answers ${status}`]), ...(isBare ? [`${path}: bare value`] : [])]
}

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
