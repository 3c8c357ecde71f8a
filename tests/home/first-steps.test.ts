import { expect, it } from 'vitest'
import { firstSteps } from '../../server/home/first-steps.ts'
import { startedBook } from '../support/book.ts'

// What is read together is named once, when the program starts: named for each look it would grow, and SQLite takes five hundred at once.
it('the steps of a new book are asked as often as somebody looks', async () => {
  const { db } = await startedBook()
  for (let looks = 0; looks < 600; looks++) await firstSteps(db)
  const another = await startedBook()
  expect((await firstSteps(another.db)).filter(({ done }) => done)).toEqual([])
  await another.ada.fill('/people/new', { number: '2', name: 'Bela', roles: ['member'] })
  expect((await firstSteps(another.db)).filter(({ done }) => done)).toMatchObject([{ name: 'person' }])
})
