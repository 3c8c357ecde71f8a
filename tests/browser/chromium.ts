import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'
import { describe, it } from 'vitest'
import { CHROMIUM } from '../support/browser.ts'

const QUIET = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

/** A group of tests that need a browser, and fail without one. `vitest.config.ts` says on which machines they are run. */
export function describeInBrowser(name: string, tests: () => void): void {
  if (existsSync(CHROMIUM)) describe(name, tests)
  else {
    describe(name, () => {
      it('finds a browser', () => {
        throw new Error(`There is no browser at ${CHROMIUM}; CHROMIUM may name another.`)
      })
    })
  }
}

/** A browser that remembers nothing from before. */
export function openBrowser(): Promise<Browser> {
  return chromium.launch({ executablePath: CHROMIUM, args: QUIET })
}
