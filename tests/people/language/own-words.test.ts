import { expect, it } from 'vitest'
import { REFUSED_THEN_TAKEN, refusedThenTaken } from '../../laws/told.ts'
import { openValley } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'

const SENTENCES = '/people/languages/en'
const KEY = 'today.cannot-come'

it('a sentence is found by its words, said better, holds at once, goes out as a file and is taken back', async () => {
  const valley = await openValley()
  const [amaru, hila] = [await valley.signIn('amaru'), await valley.signIn('hila')]
  expect((await hila.open('/')).words).toContain('I cannot come')

  const found = await amaru.open(`${SENTENCES}?find=cannot+come`)
  const door = found.html.querySelector(`a[href="${SENTENCES}/${KEY}"]`)
  expect(door?.text).toContain('I cannot come')
  const list = await amaru.fill(`${SENTENCES}/${KEY}`, { words: 'Somebody else must go' })
  // Taking it back stands under the words, not in the margin, which is too narrow for it.
  expect(list.html.querySelector('form[action$="/end"] > .at + button')).not.toBeNull()
  const first = await hila.open('/')
  expect(first.words).toContain('Somebody else must go')
  expect(first.words).not.toContain('I cannot come')

  const file = JSON.parse((await hila.agent.get('/people/languages/en/own.json')).text)
  expect(file).toEqual({ language: 'en', name: 'English', sentences: { [KEY]: 'Somebody else must go' } })

  await amaru.fill(SENTENCES, {}, { action: `${SENTENCES}/${KEY}/end` })
  expect((await hila.open('/')).words).toContain('I cannot come')
  expect(await valley.db.selectFrom('ownWords').select('words').execute()).toHaveLength(2)
})

it('a sentence that the book could not fill in comes back with what is wrong, and nothing is written', async () => {
  const valley = await openValley()
  const amaru = await valley.signIn('amaru')
  const path = `${SENTENCES}/today.card-water`
  const typed = { words: 'Outlet {outlet}: {cans} cans' }
  const answer = await amaru.fill(path, typed)
  expect(answer.status).toBe(422)
  expect(answer.words).toContain('This is missing: {jerrycans}.')
  expect(answer.html.querySelector('textarea')?.text).toBe(typed.words)
  expect((await amaru.fill(path, { words: 'Outlet {outlet}: {jerrycans' })).words).toContain('The braces do not close')
  expect(await valley.db.selectFrom('ownWords').select('words').execute()).toEqual([])
})

const DAYS = 'abstractions.pumps.left-out'

it.each([
  [
    DAYS,
    '{count, plural, one {# day} other {# days}}: {days} {weeks}',
    'The book cannot fill in {weeks}.',
    ' {weeks}',
    '',
  ],
  [DAYS, '{count, plural, other {# days}}: {days}', 'Some forms of number are missing: one.', 'other', 'one {#} other'],
  [
    'error.unusual',
    '{typed}: {side, select, high {over} other {under}} {bound}',
    'The choice “side” must have these names before its braces: more other.',
    'high',
    'more',
  ],
])('of %s “%s” is told “%s”, and taken with “%s” as “%s”', async (key, words, told, wrong, right) => {
  const valley = await openValley()
  const seen = await refusedThenTaken(valley, await valley.signIn('amaru'), {
    at: `${SENTENCES}/${key}`,
    wrong: { words },
    right: { words: words.replace(wrong, right) },
  })
  expect(seen.words).toContain(told)
  expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
})

it('what was written before a sentence was changed stays as it was, and whoever has no right to change it has no door', async () => {
  const valley = await openValley()
  const [amaru, hila] = [await valley.signIn('amaru'), await valley.signIn('hila')]
  const end = async () => {
    const form = await hila.open('/turns/ask')
    const plotId = optionValue(form, 'plotId', 'Hila')
    const page = await hila.send(form, { plotId, weekStartOn: '2026-11-30', volume: '3', everyWeek: 'on' })
    const action = page.html.querySelector('form[action$="/end"]')!.getAttribute('action')!
    return hila.send(page, {}, action)
  }
  const reasons = async () => {
    const rows = await valley.db.selectFrom('entry').select('reason').where('reason', 'like', '%every week%').execute()
    return rows.map(({ reason }) => reason)
  }
  await end()
  const before = await reasons()
  expect(before.at(-1)).toBe('not asked for every week any more')
  await amaru.fill(`${SENTENCES}/rotation.request.ended`, { words: 'asked for every week until now' })
  expect(await reasons()).toEqual(before)
  await end()
  expect(await reasons()).toEqual([...before, 'asked for every week until now'])

  expect((await hila.open(`${SENTENCES}/${KEY}`)).status).toBe(403)
  const found = await hila.open(`${SENTENCES}?find=cannot+come`)
  expect(found.words).toContain('I cannot come')
  expect(found.html.querySelector(`a[href="${SENTENCES}/${KEY}"]`)).toBeNull()
})

it('whoever is asked for a second name is told that the writer put other words on the pages, in words that nobody changes', async () => {
  const valley = await openValley()
  const [amaru, besi, chandu] = [
    await valley.signIn('amaru'),
    await valley.signIn('besi'),
    await valley.signIn('chandu'),
  ]
  const { entryId: hilaId } = await valley.db
    .selectFrom('person')
    .select('entryId')
    .where('signInName', '=', 'hila')
    .executeTakeFirstOrThrow()
  await amaru.fill(`${SENTENCES}/names.approve`, { words: 'Seen' })
  await amaru.fill(`/people/${hilaId}/change`, { roles: ['committee', 'member'] })
  const asked = async (who: typeof besi) => {
    const home = await who.open('/')
    const door = home.html
      .querySelectorAll('main a')
      .find((a) => a.getAttribute('href')?.startsWith('/people/names/matter/'))
    return who.open(door!.getAttribute('href')!)
  }
  const page = await asked(besi)
  expect(page.words).toContain('One sentence of this book stands in words of whoever wrote this')
  expect(page.html.querySelector(`main a[href="${SENTENCES}"]`)).not.toBeNull()
  expect((await besi.open(SENTENCES)).words).toContain('Seen')
  // Whoever reads the same words in other digits is told so too.
  const own = (await chandu.open('/')).html.querySelector('.who a')!.getAttribute('href')!.split('/').at(-1)
  await chandu.fill(`/people/settle/language/${own}`, { language: 'en', digits: 'arab' })
  expect((await asked(chandu)).words).toContain('One sentence of this book stands in words of whoever wrote this')
  for (const fixed of ['names.reworded', 'names.reworded-lately']) {
    expect((await amaru.open(`${SENTENCES}/${fixed}`)).status).toBe(404)
  }
  expect((await amaru.open(`${SENTENCES}?find=of+whoever+wrote+this`)).text).not.toContain('names.reworded')
  // Once somebody else has taken them back nothing is left to warn of.
  await chandu.fill(SENTENCES, {}, { action: `${SENTENCES}/names.approve/end` })
  expect((await asked(besi)).words).not.toContain('in words of whoever wrote this')
})

it('everybody reads for a week who put sentences into other words, and whoever publishes that a writer of the lines did', async () => {
  const valley = await openValley()
  valley.setNow('2026-11-25T12:00:00Z')
  const besi = await valley.signIn('besi')
  const first = async (name: string) => (await (await valley.signIn(name)).open('/')).words
  const look = async () => (await (await valley.signIn('chandu')).open('/turns/weeks/2026-11-30/publish')).words
  await besi.fill('/crops/settle/salt', { percent: '12', fromOn: '2026-11-25' })
  expect(await look()).not.toContain('in words of whoever wrote this')
  await besi.fill(`${SENTENCES}/today.by-others.from-before`, { words: '{name} wishes you a good harvest' })
  await besi.fill(`${SENTENCES}/rotation.publish-written-setting`, { words: '{setting}: as ever' })
  const told = 'Besi Okuru put 2 sentences of this book into other words. Read what stands there now.'
  for (const name of ['hila', 'goro', 'dovi', 'isko']) expect(await first(name)).toContain(told)
  expect(await first('besi')).not.toContain('into other words')
  expect(await look()).toContain('2 sentences of this book stand in words of whoever wrote this')
  // Who reads another language reads none of them.
  const hila = await valley.signIn('hila')
  const own = (await hila.open('/')).html.querySelector('.who a')!.getAttribute('href')!.split('/').at(-1)
  await hila.fill(`/people/settle/language/${own}`, { language: 'pt' })
  expect(await first('hila')).not.toContain('noutras palavras')
  valley.setNow('2026-12-03T12:00:00Z')
  expect(await first('goro')).not.toContain('into other words')
})
