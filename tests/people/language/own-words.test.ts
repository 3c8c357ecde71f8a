import { expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'

const SENTENCES = '/people/languages/en'
const KEY = 'today.cannot-come'

it('a sentence is found by its words, said better, holds at once, goes out as a file and is taken back', async () => {
  const valley = await openValley()
  const [amaru, hila] = [await valley.signIn('amaru'), await valley.signIn('hila')]
  expect((await hila.open('/')).words).toContain('I cannot come')

  const found = await amaru.open(`${SENTENCES}?find=cannot+come`)
  const door = found.html.querySelector(`a[href="${SENTENCES}/${KEY}"]`)
  expect(door?.text).toContain('I cannot come')
  await amaru.fill(`${SENTENCES}/${KEY}`, { words: 'Somebody else must go' })
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
