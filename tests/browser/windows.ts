import type { Page } from 'playwright-core'
import { PASSWORD } from '../../seed/valley.ts'
import { openValley } from '../support/valley.ts'
import { openBrowser } from './chromium.ts'

/** The example valley behind a real port, and a browser. */
export async function valleyInBrowser() {
  const valley = await openValley()
  const app = await valley.ready()
  const address = await app.listen({ host: '127.0.0.1', port: 0 })
  const browser = await openBrowser()
  const phones = new Map<string, Page>()
  async function signedIn(name: string): Promise<Page> {
    const context = await browser.newContext({
      baseURL: address,
      javaScriptEnabled: false,
      viewport: { width: 360, height: 740 },
    })
    const phone = await context.newPage()
    await phone.goto('/sign-in')
    await phone.locator('[name=signInName]').fill(name)
    await phone.locator('[name=password]').fill(PASSWORD)
    await phone.locator('main form button').first().click()
    await phone.waitForURL('/')
    return phone
  }
  return {
    signIn: valley.signIn,
    db: valley.db,
    setNow: valley.setNow,
    /** A window of somebody's own, without scripts unless a checker needs them. */
    openWindow: async ({ scripts = false } = {}): Promise<Page> => {
      const context = await browser.newContext({
        baseURL: address,
        javaScriptEnabled: scripts,
        viewport: { width: 360, height: 740 },
      })
      return context.newPage()
    },
    /** The phone of somebody who signed in on it once, at a page; hours later a sign-in has ended, so each time of the walk has its own. */
    openPhone: async (name: string, path = '/', time = ''): Promise<Page> => {
      const key = `${name} ${time}`
      const phone = phones.get(key) ?? (await signedIn(name))
      phones.set(key, phone)
      await phone.goto(path)
      return phone
    },
    close: async () => {
      await browser.close()
      await app.close()
    },
  }
}
