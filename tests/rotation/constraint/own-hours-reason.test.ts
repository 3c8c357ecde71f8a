import { expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'

it('a plot whose household is left no hours reads that, and not that its outlet carries no more', async () => {
  const valley = await openValley()
  const amaru = await valley.signIn('amaru')
  const number = async (table: 'person' | 'plot') =>
    (await valley.db.selectFrom(table).select('entryId').where('number', '=', 8).executeTakeFirstOrThrow()).entryId
  const custom = { cause: 'rest', personId: await number('person'), words: 'Mourning', fromOn: '2026-11-25' }
  for (const day of '1234567')
    await amaru.fill('/turns/settle/custom', { ...custom, day, fromTime: '00:00', toTime: '23:59' })
  const why = `/turns/working/why/2026-11-30/${await number('plot')}`
  const { words } = await (await valley.signIn('hila')).open(why)
  expect(words).toContain('0 m³ are given, because in the hours that its household can take its outlet carries no more')
  expect(words).toContain('(Mourning set aside)')
  expect(words).not.toContain('The hours of its outlet carry no more')
})
