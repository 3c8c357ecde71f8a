import type { Page } from 'playwright-core'
import { PASSWORD } from '../../seed/load.ts'
import { openValley } from '../support/valley.ts'
import { kindOf } from '../support/walk.ts'
import { openBrowser } from './chromium.ts'

/** The example valley behind a real port, and a browser. */
export async function valleyInBrowser() {
  const valley = await openValley()
  const address = await valley.app.listen({ host: '127.0.0.1', port: 0 })
  const browser = await openBrowser()
  return {
    /** A window of somebody's own, without scripts unless a checker needs them. */
    openWindow: async ({ scripts = false } = {}): Promise<Page> => {
      const context = await browser.newContext({
        baseURL: address,
        javaScriptEnabled: scripts,
        viewport: { width: 360, height: 740 },
      })
      return context.newPage()
    },
    close: async () => {
      await browser.close()
      await valley.app.close()
    },
  }
}

/** Signs in through the form. */
export async function signIn(page: Page, signInName: string): Promise<void> {
  await page.goto('/session/new')
  await page.fill('[name=signInName]', signInName)
  await page.fill('[name=password]', PASSWORD)
  await page.click('main form button')
}

/**
 * One page of every kind that links lead to, with the paths that led there. The browser opens each in its turn; `look` judges it while
 * it is open.
 */
export async function eachKindOfPage(
  page: Page,
  look: (path: string, status: number) => Promise<void>,
): Promise<number> {
  const queue = ['/']
  const kinds = new Set(queue.map(kindOf))
  let opened = 0
  for (let path = queue.shift(); path !== undefined; path = queue.shift()) {
    const response = await page.goto(path)
    opened++
    await look(path, response?.status() ?? 0)
    for (const target of await linksOf(page)) {
      if (kinds.has(kindOf(target))) continue
      kinds.add(kindOf(target))
      queue.push(target)
    }
  }
  return opened
}

async function linksOf(page: Page): Promise<string[]> {
  const links = await page.evaluate<string[]>(
    "[...document.querySelectorAll('a[href]')].map((a) => a.getAttribute('href'))",
  )
  return links
    .map((link) => link.split('#')[0]!)
    .filter((link) => link.startsWith('/') && !/\.(csv|ics|sqlite)\b/.test(link))
}
