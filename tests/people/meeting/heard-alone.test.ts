import { expect, it } from 'vitest'
import { OWN_GROUP, startedBook } from '../../support/book.ts'
import { optionValue } from '../../support/visitor.ts'

it('where nobody else could hear it, a complaint is heard by whoever wrote it down for another', async () => {
  const { ada, setNow } = await startedBook('2026-06-04T05:00:00Z')
  for (const [number, name] of [
    ['2', 'Bela'],
    ['3', 'Chidi'],
  ] as const)
    await ada.fill('/people/new', { number, name, roles: ['member'] })
  setNow('2026-09-04T05:00:00Z')
  await ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
  const form = await ada.open('/people/complaints/new')
  const [byId, aboutId] = ['2 ', '3 '].map((who) => optionValue(form, 'byId', who))
  const said = { words: 'the gate stood open', saidOn: '2026-09-04', askedHow: 'present' }
  const written = await ada.send(form, { ...said, byId: byId!, aboutId: aboutId! })
  const heard = { heardOn: '2026-09-04', body: 'committee', bothHeard: 'yes', outcome: 'both agree', ends: 'ends' }
  expect((await ada.send(written, heard, `${written.path}/hearings`)).words).toContain('both agree')
})
