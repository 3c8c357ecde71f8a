import { expect, it } from 'vitest'
import type { Pen } from '../../server/book/entries.ts'
import { firstSteps } from '../../server/home/first-steps.ts'
import { giveSignIn } from '../../server/people/person/grave-store.ts'
import { addPerson, setPassword } from '../../server/people/person/store.ts'
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

it('a treasurer whose sign-in waits for its name cannot write the price yet, so that the step stays open', async () => {
  const { db } = await startedBook('2026-06-04T05:00:00Z')
  const { entryId: writtenBy } = await db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
  const writing = (writtenAt: string, work: (pen: Pen) => Promise<string>) =>
    db.transaction().execute((trx) => work({ trx, writtenBy, writtenAt }))
  const isDone = async () => (await firstSteps(db)).find(({ name }) => name === 'treasurer')!.done
  const tomo = { number: 2, name: 'Tomo', phone: null, signInName: 'tomo', roles: ['treasurer'], passwordHash: null }
  const early = '2026-06-04T06:00:00.000Z'
  const personId = await writing(early, (pen) => addPerson(pen, tomo, '2026-06-04'))
  const given = { personId, passwordHash: 'a hash' }
  // A book is no longer new after thirty days.
  await writing('2026-07-10T06:00:00.000Z', (pen) => giveSignIn(pen, given, { minute: null, memberIds: [] }))
  expect(await isDone()).toBe(false)
  await writing('2026-07-10T07:00:00.000Z', (pen) => setPassword(pen, personId, 'a hash'))
  expect(await isDone()).toBe(true)
})
