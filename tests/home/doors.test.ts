import { afterAll, beforeAll, expect, it } from 'vitest'
import { openValley } from '../support/valley.ts'

/** The first page of each room, and those that are reached from it by one door that is easily set twice. */
const PAGES = ['/', '/turns', '/turns/asked', '/turns/asked?as=free', '/turns/asked?as=swaps', '/turns/fair'].concat([
  '/turns/rule',
  '/water',
  '/water/kept',
  '/crops',
  '/crops/weather',
  '/money',
  '/log',
  '/works',
  '/people',
  '/book',
])

let valley: Awaited<ReturnType<typeof openValley>>
beforeAll(async () => {
  valley = await openValley()
})
afterAll(() => valley.app.close())

it.each(['hila', 'dovi', 'amaru', 'fanta', 'goro', 'isko'])('no door stands twice on a page of %s', async (who) => {
  const visitor = await valley.signIn(who)
  const twice: string[] = []
  let seen = 0
  for (const path of PAGES) {
    const { html, status } = await visitor.open(path)
    if (status !== 200) continue
    const doors = html
      .querySelectorAll('main .doors a[href], main .slips a[href]')
      .filter((one) => one.closest('.note') === null)
      .map((one) => one.getAttribute('href')!)
    seen += doors.length
    twice.push(...doors.filter((href, at) => doors.indexOf(href) !== at).map((href) => `${path} ${href}`))
  }
  expect(twice).toEqual([])
  expect(seen).toBeGreaterThan(10)
})
