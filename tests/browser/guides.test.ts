import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { HTMLElement } from 'node-html-parser'
import type { Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { projectFolder } from '../../server/project-folder.ts'
import type { Seen, Visitor } from '../support/visitor.ts'
import { kindOf } from '../support/walk.ts'
import { describeInBrowser } from './chromium.ts'
import { valleyInBrowser } from './windows.ts'

const PATIENCE_MS = 600_000

/** Each guide, and somebody of the valley whose guide it is. */
const READERS = { committee: 'amaru', attendant: 'dovi', treasurer: 'fanta', member: 'hila', auditor: 'goro' }
const PATHS = Object.entries(READERS).flatMap(([guide, who]) =>
  pathsIn(readFileSync(join(projectFolder(), 'docs', `${guide}.md`), 'utf8')).map((path) => ({ guide, who, path })),
)

/** So far from the first page a path may begin: the pages that one comes by, nearest first. */
const MOST_PAGES = 250
const PAGES_OF_A_KIND = 2
const DOORS = 'a[href], summary, button'

describeInBrowser('a path of a guide', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  const readers = new Map<string, Reader>()
  beforeAll(async () => {
    valley = await valleyInBrowser()
    for (const who of Object.values(READERS)) readers.set(who, readerOf(await valley.signIn(who)))
  }, PATIENCE_MS)
  afterAll(() => valley?.close())

  it('is read from every guide', () => {
    expect(pathsIn('*A*, then *Turns →\nAsk for water → Send* or **B**')).toEqual([['Turns', 'Ask for water', 'Send']])
    expect(new Set(PATHS.map(({ guide }) => guide)).size).toBe(Object.keys(READERS).length)
    expect(PATHS.length).toBeGreaterThan(30)
  })

  it.each(PATHS.map((one) => ({ ...one, words: one.path.join(' → ') })))(
    'is walked as the $guide: $words',
    async ({ who, path }) => {
      let trouble = new Error(`no door “${path[0]}” for ${who}`)
      for await (const begins of readers.get(who)!.pagesWith(path[0]!)) {
        const phone = await valley.openPhone(who, begins)
        const missing = await walkFrom(phone, path)
        if (missing === null) return
        trouble = new Error(missing)
      }
      throw trouble
    },
  )
})

interface Reader {
  /** The pages on which something has that name, the nearest first. */
  pagesWith(name: string): AsyncIterable<string>
}

function readerOf(visitor: Visitor): Reader {
  const queue = ['/']
  const known = new Set(queue)
  const kinds = new Map<string, number>()
  const seen: Seen[] = []
  const next = async (): Promise<Seen | null> => {
    const path = queue.shift()
    if (path === undefined || seen.length >= MOST_PAGES) return null
    const page = await visitor.open(path)
    seen.push(page)
    for (const link of page.html.querySelectorAll('a[href^="/"]')) {
      const target = link.getAttribute('href')!.replaceAll('&amp;', '&').split('#')[0]!
      const ofKind = kinds.get(kindOf(target)) ?? 0
      if (known.has(target) || ofKind >= PAGES_OF_A_KIND) continue
      known.add(target)
      kinds.set(kindOf(target), ofKind + 1)
      queue.push(target)
    }
    return page
  }
  return {
    async *pagesWith(name) {
      for (let at = 0; ; at++) {
        const page = seen[at] ?? (await next())
        if (page === null) return
        if (hasDoor(page.html, name)) yield page.path
      }
    },
  }
}

function hasDoor(html: HTMLElement, name: string): boolean {
  return html.querySelectorAll(DOORS).some((door) => called(name).test(door.querySelector('strong')?.text ?? door.text))
}

/** The whole of the words, or their beginning where figures or a line of explanation come after. */
function called(name: string): RegExp {
  return new RegExp(`^\\s*${name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&').replace(/ /g, '\\s+')}`)
}

function exactly(name: string): RegExp {
  return new RegExp(`${called(name).source}\\s*$`)
}

/** Taps each name in its turn; null once all were found, else which was not, and where. */
async function walkFrom(phone: Page, path: readonly string[]): Promise<string | null> {
  for (const [step, name] of path.entries()) {
    const found = await doorCalled(phone, name)
    if (found === null) return `no door “${name}” on ${phone.url()}`
    const isLink = (await found.getAttribute('href'))?.startsWith('/') ?? false
    if (isLink) {
      const answered = phone.waitForResponse((response) => response.request().isNavigationRequest())
      await found.click()
      if ((await answered).status() >= 400) return `“${name}” leads to ${phone.url()}, which does not open`
      await phone.waitForLoadState()
    } else if (step < path.length - 1) await found.click()
  }
  return null
}

/** What has the name and can be seen once all is unfolded: called so alone, in its first words, or by its beginning. */
async function doorCalled(phone: Page, name: string): Promise<Locator | null> {
  const doors = phone.locator(DOORS)
  const ways = [
    doors.filter({ hasText: exactly(name) }),
    doors.filter({ has: phone.locator('strong', { hasText: exactly(name) }) }),
    doors.filter({ hasText: called(name) }),
  ]
  for (const way of ways) {
    const found = way.first()
    if ((await found.count()) === 0) continue
    await unfold(phone, found)
    if (await found.isVisible()) return found
  }
  return null
}

async function unfold(phone: Page, wanted: Locator): Promise<void> {
  for (const fold of await phone.locator('details:not([open]) > summary').all()) {
    if (await wanted.isVisible()) return
    if (await fold.isVisible()) await fold.click()
  }
}

/** What stands in italics with arrows between, as the names to tap one after the other. */
function pathsIn(markdown: string): string[][] {
  const italics = markdown.matchAll(/(?<![*\w])\*(?!\*)([^*]+)\*(?!\*)/g)
  return [...italics].flatMap(([, words]) => {
    const names = words!.split('→').map((name) => name.replace(/\s+/g, ' ').trim())
    return names.length > 1 ? [names] : []
  })
}
