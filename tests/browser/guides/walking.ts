import type { HTMLElement } from 'node-html-parser'
import type { Locator, Page } from 'playwright-core'
import type { Reader } from '../../support/valley.ts'
import type { Seen } from '../../support/visitor.ts'
import { kindOf } from '../../support/walk.ts'

/** So far from the first page a path may begin: the pages that one comes by, nearest first. */
const MOST_PAGES = 250
const PAGES_OF_A_KIND = 2
const DOORS = 'a[href], summary, button'

export interface Finder {
  /** The pages on which something has that name, the nearest first. */
  pagesWith(name: string): AsyncIterable<string>
}

export function finderFor(reader: Reader): Finder {
  const queue = ['/']
  const known = new Set(queue)
  const kinds = new Map<string, number>()
  const seen: Seen[] = []
  const next = async (): Promise<Seen | null> => {
    const path = queue.shift()
    if (path === undefined || seen.length >= MOST_PAGES) return null
    const page = await reader.open(path)
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
export async function walkFrom(phone: Page, path: readonly string[]): Promise<string | null> {
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
  // All folds, open or not: of the closed ones alone each one opened would shift the others, and every second be left out.
  for (const fold of await phone.locator('details > summary').all()) {
    if (await wanted.isVisible()) return
    const isClosed = await fold.evaluate(({ parentElement }) => !parentElement?.hasAttribute('open'))
    if (isClosed && (await fold.isVisible())) await fold.click()
  }
}
