import { expect, it } from 'vitest'
import { holdersOf } from '../../../server/book/names/household.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

/** What a single sign-in with an office was seen to do for its own household; each is left to another officer. */
it('lets no officer write off an own debt, make an own draw less or give the own plot more people', async () => {
  const { db, signIn } = await openValley()
  const [amaru, besi, dovi, fanta] = [
    await signIn('amaru'),
    await signIn('besi'),
    await signIn('dovi'),
    await signIn('fanta'),
  ]
  const seq = async () => (await db.selectFrom('entry').select('seq').orderBy('seq', 'desc').limit(1).execute())[0]!.seq
  const before = await seq()
  const refused = async (who: Visitor, path: string, typed: Record<string, string>, said: string) => {
    const page = await who.fill(path, typed)
    expect([path, page.status, page.words]).toEqual([path, 422, expect.stringContaining(said)])
  }
  const OWN = 'to your own household'
  const opening = await fanta.open('/money/settle/from-before')
  const ahead = { side: 'ahead-or-less', amount: '5000', onDate: VALLEY_TODAY, words: 'from before' }
  const fantas = optionValue(opening, 'accountId', 'Fanta')
  await refused(fanta, '/money/settle/from-before', { ...ahead, accountId: fantas }, 'Now a relief')

  const personOf = async (signInName: string) =>
    (await db.selectFrom('person').select('entryId').where('signInName', '=', signInName).executeTakeFirstOrThrow())
      .entryId
  const plotOf = async (personId: string) => {
    const rows = await db.selectFrom('plotHolder').select('plotId').where('personId', '=', personId).execute()
    return rows[0]!.plotId
  }
  const [mine, his] = [await plotOf(await personOf('amaru')), await plotOf(await personOf('dovi'))]
  expect(await holdersOf(db, his, VALLEY_TODAY)).toEqual([await personOf('dovi')])
  await refused(amaru, '/turns/settle/people-of-plot', { plotId: mine, persons: '40', fromOn: VALLEY_TODAY }, OWN)
  await refused(amaru, '/people/settle/received-before', { plotId: mine, untilOn: '2026-07-01', volume: '0' }, OWN)

  const draw = await db
    .selectFrom('abstraction')
    .selectAll()
    .where('plotId', '=', his)
    .orderBy('onDate', 'desc')
    .executeTakeFirstOrThrow()
  const path = `/log/lines/drawn/${draw.entryId}/correct`
  const less = { closing: String(draw.openingM3! + 0.5), reason: 'was less' }
  await refused(dovi, path, less, OWN)
  await refused(dovi, path, { strike: 'yes', reason: 'never was' }, OWN)
  expect(await seq()).toBe(before)
  expect((await besi.fill(path, less)).words).toContain('was less')
})
