import { describe, expect, it } from 'vitest'
import { OWN_GROUP, startedBook } from '../support/book.ts'

const signIn = { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password }

describe('a device that passes from hand to hand', () => {
  it('signs out whoever opened no page for ten minutes, and not before', async () => {
    const { visitor, setNow } = await startedBook('2026-06-04T05:00:00Z')
    const shared = visitor()
    await shared.fill('/sign-in', { ...signIn, shared: 'yes' })
    setNow('2026-06-04T05:09:00Z')
    expect((await shared.open('/people')).path).toBe('/people')
    // Ten minutes count from the last page, not from signing in.
    setNow('2026-06-04T05:19:00Z')
    expect((await shared.open('/people')).path).toBe('/people')
    setNow('2026-06-04T05:29:01Z')
    const late = await shared.open('/people')
    expect(late.path).toBe('/sign-in?next=%2Fpeople')
    expect(late.words).toContain('Sign in')
    setNow('2026-06-04T05:29:02Z')
    expect((await shared.open('/people')).path).not.toBe('/people')
  })

  it('does not come back by an open form: what was typed is kept, for the same person alone, and sent once signed in', async () => {
    const { ada, visitor, setNow, db } = await startedBook('2026-06-04T05:00:00Z')
    const bo = { signInName: 'bo', password: 'bo has a word' }
    await ada.fill('/people/new', { number: '2', name: 'Bo', roles: ['committee', 'member'], ...bo })
    const shared = visitor()
    await shared.fill('/sign-in', { ...signIn, shared: 'yes' })
    const form = await shared.open('/people/new')
    setNow('2026-06-04T05:45:00Z')
    const late = await shared.send(form, { number: '7', name: 'Cato of the hill' })
    expect(late.status).toBe(401)
    expect(late.words).toContain('kept for you alone')
    expect(await db.selectFrom('person').select('number').where('number', '=', 7).execute()).toEqual([])
    // Still nobody is signed in, and whoever signs in next on the device is shown nothing of it.
    expect((await shared.open('/people')).path).toContain('/sign-in')
    await shared.fill('/sign-in', { ...bo, shared: 'yes' })
    expect((await shared.open('/people/kept')).words).not.toContain('Cato')
    await shared.fill('/sign-in', signIn)
    const kept = await shared.open('/people/kept')
    expect(kept.words).toContain('Cato of the hill')
    const fields = Object.fromEntries(
      kept.html
        .querySelectorAll('form[action="/people/new"] input')
        .map((input) => [input.getAttribute('name')!, input.getAttribute('value') ?? '']),
    )
    const sent = await shared.read(await shared.agent.post('/people/new').type('form').send(fields), '/people/new')
    expect(sent.words).toContain('Cato of the hill')
    expect((await shared.open('/people/kept')).words).toContain('Nothing is kept')
  })

  it('keeps no more aside than some forms, no secrets, and nothing that is too long', async () => {
    const { visitor, setNow, db } = await startedBook('2026-06-04T05:00:00Z')
    const shared = visitor()
    await shared.fill('/sign-in', { ...signIn, shared: 'yes' })
    const form = await shared.open('/people/new')
    setNow('2026-06-04T05:45:00Z')
    for (let at = 0; at < 9; at++)
      await shared.send(form, { number: '7', name: `Cato ${at}`, password: 'never to be seen' })
    await shared.send(form, { number: '7', name: 'x'.repeat(200_000) })
    const kept = await db.selectFrom('keptAside').select('fields').execute()
    expect(kept).toHaveLength(5)
    expect(JSON.stringify(kept)).not.toContain('never to be seen')
  })

  it('leaves a device of one’s own signed in for the day while it is used, as long as the setting says', async () => {
    const { visitor, setNow } = await startedBook('2026-06-04T05:00:00Z', {}, { idleMinutes: 240 })
    const own = visitor()
    await own.fill('/sign-in', signIn)
    for (const hour of ['08:59', '12:58', '16:57']) {
      setNow(`2026-06-04T${hour}:00Z`)
      expect((await own.open('/people')).path).toBe('/people')
    }
    // Twelve hours are over, whatever is used.
    setNow('2026-06-04T17:00:01Z')
    expect((await own.open('/people')).path).toContain('/sign-in')
    await own.fill('/sign-in', signIn)
    setNow('2026-06-04T21:00:02Z')
    expect((await own.open('/people')).path).toContain('/sign-in')
  })
})
