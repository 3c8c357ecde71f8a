import { describe, expect, it } from 'vitest'
import { OWN_GROUP, startedBook } from '../support/book.ts'

const signIn = { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password }

describe('a device that passes from hand to hand', () => {
  it('signs out whoever opened no page for ten minutes, and not before', async () => {
    const { visitor, setNow } = await startedBook('2026-06-04T05:00:00Z')
    const shared = visitor()
    await shared.fill('/session/new', { ...signIn, shared: 'yes' })
    setNow('2026-06-04T05:09:00Z')
    expect((await shared.open('/people')).path).toBe('/people')
    // Ten minutes count from the last page, not from signing in.
    setNow('2026-06-04T05:19:00Z')
    expect((await shared.open('/people')).path).toBe('/people')
    setNow('2026-06-04T05:29:01Z')
    const late = await shared.open('/people')
    expect(late.path).toBe('/session/new?next=%2Fpeople')
    expect(late.words).toContain('Sign in')
    setNow('2026-06-04T05:29:02Z')
    expect((await shared.open('/people')).path).not.toBe('/people')
  })

  it('still takes a page of paper that was long in the typing, and after that shows what was typed', async () => {
    const { visitor, setNow } = await startedBook('2026-06-04T05:00:00Z')
    const shared = visitor()
    await shared.fill('/session/new', { ...signIn, shared: 'yes' })
    const form = await shared.open('/people/persons/new')
    setNow('2026-06-04T05:45:00Z')
    const saved = await shared.send(form, { number: '7', name: 'Bo' })
    expect(saved.words).toContain('Bo')
    const next = await shared.open('/people/persons/new')
    setNow('2026-06-04T07:00:00Z')
    const late = await shared.send(next, { number: '8', name: 'Cato of the hill' })
    expect(late.status).toBe(401)
    expect(late.words).toContain('You were signed out while you wrote, and nothing was saved')
    expect(late.words).toContain('Cato of the hill')
    // Signed in again beside it, the same page is sent once more.
    await shared.fill('/session/new', signIn)
    expect((await shared.send(next, { number: '8', name: 'Cato of the hill' })).words).toContain('Cato of the hill')
  })

  it('leaves a device of one’s own signed in for the day', async () => {
    const { visitor, setNow } = await startedBook('2026-06-04T05:00:00Z')
    const own = visitor()
    await own.fill('/session/new', signIn)
    setNow('2026-06-04T15:00:00Z')
    expect((await own.open('/people')).path).toBe('/people')
  })
})
