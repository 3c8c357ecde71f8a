import type { Page } from 'playwright-core'
import { openValley } from '../support/valley.ts'
import { openBrowser } from './chromium.ts'

/** The example valley behind a real port, and a browser. */
export async function valleyInBrowser() {
  const valley = await openValley()
  const address = await valley.app.listen({ host: '127.0.0.1', port: 0 })
  const browser = await openBrowser()
  return {
    signIn: valley.signIn,
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
