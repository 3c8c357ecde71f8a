import { expect, it } from 'vitest'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'

it('a setting for a day to come is told where it is read and on the committee’s first page, until its day', async () => {
  const valley = await openValley()
  const amaru = await valley.signIn('amaru')
  const told = 'From 1 Dec 2026 on, a plot may ask urgently 9 times a month.'
  expect((await amaru.open('/turns/asked')).words).not.toContain(told)
  await amaru.fill('/turns/settle/urgent', { fromOn: '2026-12-01', perMonth: '9' })
  for (const name of ['amaru', 'hila']) {
    const visitor = await valley.signIn(name)
    expect((await visitor.open('/turns/asked')).words, name).toContain(told)
  }
  const home = (await amaru.open('/')).words
  expect(home).toContain('Changes on days to come')
  expect(home).toContain(told)
  expect(VALLEY_TODAY < '2026-12-01').toBe(true)
  valley.setNow('2026-12-01T06:00:00Z')
  const later = await valley.signIn('amaru')
  expect((await later.open('/turns/asked')).words).not.toContain(told)
})
