import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { describeInBrowser } from './chromium.ts'
import { PREPARED } from './tasks/prepared.ts'
import { tap, wordsOf } from './tasks/tapping.ts'
import { valleyInBrowser } from './windows.ts'

const PATIENCE_MS = 600_000

describeInBrowser('what there is to do after others did something', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  beforeAll(async () => {
    valley = await valleyInBrowser()
  }, PATIENCE_MS)
  afterAll(() => valley?.close())

  it.each(PREPARED)(
    'brings $who to “$task” in the wanted taps',
    async ({ who, prepare, taps, ends, wanted, sends, says }) => {
      expect(taps.length + (sends ? 1 : 0)).toBeLessThanOrEqual(wanted)
      const now = await prepare(valley)
      valley.setNow(now)
      const phone = await valley.openPhone(who, '/', now.slice(0, 10))
      for (const one of taps) {
        if (typeof one === 'string' || one instanceof RegExp) await tap(phone, one)
        else await send(phone, one)
      }
      const { pathname, search } = new URL(phone.url())
      expect(pathname + search).toMatch(ends)
      if (says) expect(await wordsOf(phone)).toMatch(says)
      if (sends) expect(await phone.locator('main form[method=post] button:visible').count()).toBeGreaterThan(0)
    },
  )
})

async function send(phone: Page, { fill, press }: { fill: Record<string, string>; press: string }): Promise<void> {
  for (const [name, value] of Object.entries(fill)) await phone.locator(`main [name=${name}]:visible`).fill(value)
  await tap(phone, press)
}
