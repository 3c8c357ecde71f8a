import type { Page } from 'playwright-core'
import { openValley } from '../support/valley.ts'
import { openBrowser } from './chromium.ts'

/** The example valley behind a real port, and a browser. */
export async function valleyInBrowser() {
  const valley = await openValley()
  const app = await valley.ready()
  const address = await app.listen({ host: '127.0.0.1', port: 0 })
  const browser = await openBrowser()
  const openWindow = async ({ scripts = false } = {}): Promise<Page> => {
    const context = await browser.newContext({
      baseURL: address,
      javaScriptEnabled: scripts,
      viewport: { width: 360, height: 740 },
    })
    return context.newPage()
  }
  const signedIn = new Map<string, Promise<Cookie[]>>()
  const cookiesOf = async (name: string): Promise<Cookie[]> =>
    (await valley.signIn(name)).cookies().map((cookie) => cookieAt(address, cookie))
  let phone: Promise<Page> | undefined
  return {
    signIn: valley.signIn,
    db: valley.db,
    setNow: valley.setNow,
    /** A window of somebody's own, without scripts unless a checker needs them. */
    openWindow,
    /** A page of the book without anything on it, in which others are framed. */
    openFrames: async (): Promise<Page> => {
      const page = await openWindow({ scripts: true })
      await page.goto('/sign-in')
      await page.setContent('<!doctype html>')
      return page
    },
    /**
     * The one phone, in the hand of somebody who signed in on it, at a page; hours later a sign-in has ended, so each time of the
     * walk has its own. Another phone for each of them would be another process of the browser.
     */
    openPhone: async (name: string, path = '/', time = ''): Promise<Page> => {
      const key = `${name} ${time}`
      const cookies = signedIn.get(key) ?? cookiesOf(name)
      signedIn.set(key, cookies)
      phone ??= openWindow()
      const page = await phone
      await page.context().clearCookies()
      await page.context().addCookies(await cookies)
      const answer = await page.goto(path)
      if (answer?.status() !== 200) throw new Error(`${path} answers ${answer?.status()} to ${name}`)
      return page
    },
    close: async () => {
      await browser.close()
      await app.close()
    },
  }
}

interface Cookie {
  url: string
  name: string
  value: string
}

function cookieAt(url: string, cookie: string): Cookie {
  const [, name, value] = /^([^=]+)=([^;]*)/.exec(cookie)!
  return { url, name: name!, value: value! }
}
