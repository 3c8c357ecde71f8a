import { beforeAll, expect, it } from 'vitest'
import { cropPlans, type PlannedCrop } from '../../server/crops/plan/store.ts'
import { listPlots } from '../../server/people/plot/store.ts'
import { outletsToTest } from '../../server/works/flow-test/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'

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

it('what the rule counts is set from the crop and from the plot, and own hours from the own plot', async () => {
  const { db } = valley
  const plots = (await listPlots(db, VALLEY_TODAY)).filter(({ holders }) => !/Amaru|Hila/.test(JSON.stringify(holders)))
  const stands = (one: PlannedCrop) => one.endedOn === null && one.sownOn <= VALLEY_TODAY
  const plan = (await cropPlans(db)).find((one) => stands(one) && plots.some(({ id }) => id === one.plotId))!
  const shown: Record<string, string[]> = {}
  const doors = {
    class: `/turns/settle/class?planId=${plan.id}`,
    people: `/turns/settle/people-of-plot?plotId=${plan.plotId}`,
    hours: '/people/settle/hours',
  }
  const own = (await listPlots(db, VALLEY_TODAY)).find(({ holders }) =>
    holders.some(({ name }) => name === 'Hila Quarm'),
  )!
  const looks = {
    crop: `/crops/lines/crop/${plan.id}`,
    plot: `/people/plots/${plan.plotId}`,
    record: `/turns/plots/${plan.plotId}`,
    own: `/turns/plots/${own.id}`,
  }
  for (const who of ['amaru', 'hila']) {
    const visitor = await valley.signIn(who)
    for (const [name, path] of Object.entries(looks)) {
      const { html } = await visitor.open(path)
      const has = (href: string) => html.querySelector(`main a[href="${href}"]`) !== null
      shown[`${who} ${name}`] = Object.entries(doors).flatMap(([door, href]) => (has(href) ? [door] : []))
    }
  }
  expect(shown).toEqual({
    'amaru crop': ['class'],
    'amaru plot': ['people'],
    'amaru record': ['people'],
    'amaru own': [],
    'hila crop': [],
    'hila plot': [],
    'hila record': [],
    'hila own': ['hours'],
  })
})

it('tells whoever attends which bucket tests are due, and leads to them', async () => {
  const [due] = await outletsToTest(valley.db, VALLEY_TODAY)
  const line = (await (await valley.signIn('dovi')).open('/')).html.querySelector('main .list a[href="/log/tests"]')
  expect(line?.text).toMatch(new RegExp(`Bucket test due again.*outlets .*\\b${due!.number}\\b`, 's'))
  expect((await (await valley.signIn('hila')).open('/')).words).not.toContain('Bucket test')
})

it('shows those who agreed on instalments before all others who have to pay, below the door to agree', async () => {
  const { html } = await (await valley.signIn('fanta')).open('/money/members')
  const lines = html.querySelectorAll('main a[href^="/money/members"]').map(({ text }) => text.replace(/\s+/g, ' '))
  expect(lines[0]).toContain('Agree on instalments')
  expect(lines[1]).toContain('every month')
})
