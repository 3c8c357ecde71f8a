import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { bookedTurns } from '../../server/rotation/published/turn-store.ts'
import { VALLEY_TODAY } from '../support/valley.ts'
import { describeInBrowser } from './chromium.ts'
import { TASKS, type Task } from './tasks.ts'
import { valleyInBrowser } from './windows.ts'

const PATIENCE_MS = 600_000
const WEEK = '2026-11-23'
/** On the least phone that is counted with, 360 px wide: the longest list page and the most that its header takes. */
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
  ['hila', `/turns/weeks/${WEEK}`],
  ['dovi', `/log/days/${VALLEY_TODAY}`],
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
] as const

describeInBrowser('a phone in the hand', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  beforeAll(async () => {
    valley = await valleyInBrowser()
  }, PATIENCE_MS)
  afterAll(() => valley?.close())

  it.each(LISTS)('shows %s %s in at most three thousand pixels under a small header', async (who, path) => {
    const phone = await valley.openPhone(who, path)
    const [page, header] = [await phone.locator('html').boundingBox(), await phone.locator('header').boundingBox()]
    expect(page!.height).toBeLessThanOrEqual(LONGEST_PX)
    expect(header!.height).toBeLessThanOrEqual(HEADER_PX)
  })

  it.each(TASKS)('brings $who to “$task” in the stated taps', async ({ who, clock, taps, ends }) => {
    await setClock(clock)
    const phone = await valley.openPhone(who)
    for (const words of taps) await tap(phone, words)
    const { pathname, search } = new URL(phone.url())
    expect(pathname + search).toMatch(ends)
  })

  async function setClock(clock: Task['clock']) {
    if (clock === 'noon') return valley.setNow(`${VALLEY_TODAY}T12:00:00Z`)
    const { turns } = (await bookedTurns(valley.db, WEEK))!
    const first = turns.filter(({ on, droppedBy }) => on === VALLEY_TODAY && !droppedBy)[0]!
    const minute = clock === 'running' ? first.startMinute + 5 : first.startMinute - 60
    const pair = (value: number) => String(value).padStart(2, '0')
    valley.setNow(`${VALLEY_TODAY}T${pair(Math.floor(minute / 60))}:${pair(minute % 60)}:00Z`)
  }
})

/** The first link, fold or button that has the words; what one cannot see cannot be tapped. */
async function tap(phone: Page, words: string | RegExp): Promise<void> {
  await phone.locator('a:visible, summary:visible, button:visible', { hasText: words }).first().click()
  await phone.waitForLoadState()
}
