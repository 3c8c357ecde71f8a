import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { PASSWORD } from '../../seed/load.ts'
import { describeInBrowser } from './chromium.ts'
import { valleyInBrowser } from './windows.ts'

/** The week after the one that is running in the example valley. */
const NEXT_WEEK = '/turns/weeks/2026-11-30'
const MOST_KEYS = 200

describeInBrowser('a person without a mouse', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  beforeAll(async () => {
    valley = await valleyInBrowser()
  })
  afterAll(() => valley?.close())

  it('jumps over the head of the page to what it says', async () => {
    const page = await valley.openWindow()
    await page.goto('/sign-in')
    await page.keyboard.press('Tab')
    expect(await focused(page)).toMatchObject({ href: '#main', isInSight: true })
    await page.keyboard.press('Enter')
    await page.keyboard.press('Tab')
    expect((await focused(page)).isInMain).toBe(true)
  })

  it('signs in, finds the next week and publishes it', async () => {
    const page = await valley.openWindow()
    await page.goto('/sign-in')
    await tabTo(page, (at) => at.name === 'signInName')
    await page.keyboard.type('amaru')
    await tabTo(page, (at) => at.name === 'password')
    await page.keyboard.type(PASSWORD)
    await follow(page, () => page.keyboard.press('Enter'))
    await follow(page, () => pressOn(page, (at) => at.href === '/turns'))
    await follow(page, () => pressOn(page, (at) => at.href === NEXT_WEEK))
    await follow(page, () => pressOn(page, (at) => at.href === `${NEXT_WEEK}/publish`))
    await follow(page, () => pressOn(page, (at) => at.words === 'Publish this week'))
    expect(new URL(page.url()).pathname).toBe(NEXT_WEEK)
    expect(await page.textContent('main')).toContain('Published')
  })
})

interface Focused {
  name: string
  href: string
  words: string
  isInMain: boolean
  /** Within the window and with a line around it. */
  isInSight: boolean
}

function focused(page: Page): Promise<Focused> {
  return page.evaluate<Focused>(`(() => {
    const at = document.activeElement
    const box = at.getBoundingClientRect()
    return {
      name: at.getAttribute('name') ?? '',
      href: at.getAttribute('href') ?? '',
      words: at.textContent.trim(),
      isInMain: at.closest('main') !== null,
      isInSight: box.left >= 0 && box.right <= innerWidth && box.bottom > 0 && getComputedStyle(at).outlineStyle !== 'none',
    }
  })()`)
}

async function tabTo(page: Page, isThere: (at: Focused) => boolean): Promise<void> {
  for (let key = 0; key < MOST_KEYS; key++) {
    await page.keyboard.press('Tab')
    const at = await focused(page)
    if (!isThere(at)) continue
    expect(at.isInSight).toBe(true)
    return
  }
  throw new Error(`not reached with ${MOST_KEYS} keys on ${page.url()}`)
}

async function pressOn(page: Page, isThere: (at: Focused) => boolean): Promise<void> {
  await tabTo(page, isThere)
  await page.keyboard.press('Enter')
}

/** Waits for the page that an action leads to. */
async function follow(page: Page, act: () => Promise<void>): Promise<void> {
  const before = page.url()
  const shown = page.waitForEvent('load')
  await act()
  await shown
  if (page.url() === before && !before.includes('/turns/weeks/')) throw new Error(`nothing happened at ${before}`)
}
