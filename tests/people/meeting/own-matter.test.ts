import { expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
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
  await refused(fanta, '/money/settle/from-before', { ...ahead, accountId: fantas }, 'Now only a debt that is let off')

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
  // The day decides the season and the price, the taker who pays.
  await refused(dovi, path, { onDate: addDays(draw.onDate, -200), reason: 'another day' }, OWN)
  await refused(dovi, path, { takerId: await personOf('hila'), reason: 'she fetched it' }, OWN)
  // Nor is it charged to somebody else from its writing.
  const water = await dovi.open('/log/water?use=irrigation&method=volume')
  const place = optionValue(water, 'place', 'Outlet 4')
  const drawn = { place, plotId: his, onDate: VALLEY_TODAY, volume: '5', unit: 'm3' }
  const forHila = await dovi.send(water, { ...drawn, takerId: await personOf('hila') })
  expect([forHila.status, forHila.words]).toEqual([422, expect.stringContaining(OWN)])
  expect(await seq()).toBe(before)
  expect((await besi.fill(path, less)).words).toContain('was less')
})

it('lets no officer call the turn that their household missed a loss in common', async () => {
  const { db, signIn, setNow } = await openValley()
  const held = (signInName: string) =>
    db
      .selectFrom('plotHolder')
      .innerJoin('person', 'person.entryId', 'plotHolder.personId')
      .select('plotHolder.plotId')
      .where('person.signInName', '=', signInName)
  const toCome = db
    .selectFrom('turn')
    .select(['turn.id', 'turn.onDate'])
    .where('turn.onDate', '>', VALLEY_TODAY)
    .orderBy('turn.onDate', 'desc')
  const officers = ['amaru', 'besi', 'dovi']
  const turns = await Promise.all(
    officers.map((name) => toCome.where('turn.plotId', 'in', held(name)).executeTakeFirst()),
  )
  const at = turns.findIndex((turn) => turn !== undefined)
  setNow(`${addDays(VALLEY_TODAY, 7)}T09:00:00Z`)
  const [own, concerned] = [turns[at]!, await signIn(officers[at]!)]
  const other = await signIn(officers[(at + 1) % officers.length]!)
  const anothers = await toCome.where('turn.plotId', 'not in', held(officers[at]!)).executeTakeFirstOrThrow()
  const sayOf = async (who: Visitor, turn: { id: string; onDate: string }) =>
    who.send(await who.open(`/log/days/${turn.onDate}`), { cause: 'breakdown' }, `/turns/${turn.id}/became`)
  const refused = await sayOf(concerned, own)
  expect([refused.status, refused.words]).toEqual([409, expect.stringContaining('another officer says it')])
  expect(await db.selectFrom('turnOutcome').selectAll().where('turnId', '=', own.id).execute()).toEqual([])
  expect((await sayOf(other, own)).status).toBe(200)
  expect((await sayOf(concerned, anothers)).status).toBe(200)
})

it('lets no officer turn a no-show of their household into an excuse, nor take it back', async () => {
  const { db, signIn } = await openValley()
  const [besi, dovi] = [await signIn('besi'), await signIn('dovi')]
  const drawn = await db
    .selectFrom('abstraction')
    .innerJoin('plotHolder', 'plotHolder.plotId', 'abstraction.plotId')
    .innerJoin('person', 'person.entryId', 'plotHolder.personId')
    .select(['abstraction.entryId', 'turnId', 'onDate'])
    .where('person.signInName', '=', 'dovi')
    .where('turnId', 'is not', null)
    .orderBy('onDate', 'desc')
    .executeTakeFirstOrThrow()
  await besi.fill(`/log/lines/drawn/${drawn.entryId}/correct`, { strike: 'yes', reason: 'nobody came' })
  const day = `/log/days/${drawn.onDate}`
  const say = async (who: Visitor, cause: string) =>
    who.send(await who.open(day), { cause }, `/turns/${drawn.turnId}/became`)
  const word = { onDate: drawn.onDate, clock: '00:01', through: 'a boy' }
  const excuse = async (who: Visitor) => who.fill(`/turns/${drawn.turnId}/otherwise`, word)
  const said = () => db.selectFrom('turnOutcome').select('cause').where('turnId', '=', drawn.turnId).execute()
  expect((await excuse(dovi)).words).toContain('This is your own turn')
  await say(besi, 'no-show')
  expect((await excuse(dovi)).status).toBe(422)
  for (const cause of ['here', 'late']) {
    const refused = await say(dovi, cause)
    expect([cause, refused.status, refused.words]).toEqual([cause, 409, expect.stringContaining('your own household')])
  }
  expect(await said()).toEqual([{ cause: 'no-show' }])
  expect((await excuse(besi)).status).toBe(200)
  expect(await said()).toHaveLength(2)
})
