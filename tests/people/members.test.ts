import { describe, expect, it } from 'vitest'
import { OWN_GROUP, startedBook } from '../support/book.ts'

const BELA = { number: '2', name: 'Bela', roles: ['member'], signInName: 'bela', password: 'another long word' }

describe('members', () => {
  it('are written in with or without phone and sign-in', async () => {
    const { ada } = await startedBook()
    await ada.fill('/people/new', { number: '2', name: 'Chidi', roles: ['member'] })
    const people = await ada.open('/people')
    expect(people.words).toContain('Chidi')
  })

  it('keep a name of any letters and signs, shown as it was typed, without what nobody can see', async () => {
    const { ada, db } = await startedBook()
    const name = `<b>&"Ń'o\u0000\u0007 💧`
    const page = await ada.fill('/people/new', { number: '2', name, roles: ['member'] })
    const kept = name.replace(/\p{Cc}/gu, '')
    expect(await db.selectFrom('person').select('name').where('number', '=', 2).execute()).toEqual([{ name: kept }])
    expect(page.html.querySelector('h1')!.text).toContain(kept)
    expect(page.html.querySelector('h1 b')).toBeNull()
  })

  it('sign in with their own name and see only what their roles allow', async () => {
    const { ada, visitor } = await startedBook()
    await ada.fill('/people/new', BELA)
    const bela = visitor()
    await bela.fill('/sign-in', { signInName: 'bela', password: BELA.password })
    expect((await bela.open('/')).words).not.toContain('Setting up the book')
    expect((await bela.open('/people/new')).status).toBe(403)
  })

  it('are told in one sentence when name and password do not go together', async () => {
    const { visitor } = await startedBook()
    for (const signInName of ['ada', 'nobody']) {
      const page = await visitor().fill('/sign-in', { signInName, password: 'not the password' })
      expect(page.status).toBe(422)
      expect(page.words).toContain('Name and password do not go together')
    }
  })

  it('are sent to the sign-in first and then to the page they wanted', async () => {
    const { visitor } = await startedBook()
    const stranger = visitor()
    const door = await stranger.open('/people')
    expect(door.path).toContain('/sign-in')
    const page = await stranger.send(door, { signInName: 'ada', password: OWN_GROUP.password })
    expect(page.path).toBe('/people')
  })

  it('are made once when the network sends the form twice', async () => {
    const { ada, db } = await startedBook()
    const form = await ada.open('/people/new')
    const first = await ada.send(form, BELA)
    const second = await ada.send(form, BELA)
    expect(second.status).toBe(200)
    expect(second.path).toBe(first.path)
    expect(await db.selectFrom('person').select('name').where('name', '=', 'Bela').execute()).toHaveLength(1)
  })

  it('who go back and send another password from the same page are told that it was not taken', async () => {
    const { ada, visitor } = await startedBook()
    const form = await ada.open('/people/settle/password')
    const oldPassword = OWN_GROUP.password
    expect((await ada.send(form, { oldPassword, password: 'the first new word' })).status).toBe(200)
    expect((await ada.send(form, { oldPassword, password: 'the first new word' })).status).toBe(200)
    expect((await ada.send(form, { oldPassword, password: 'the second new word' })).status).toBe(409)
    const again = await visitor().fill('/sign-in', { signInName: 'ada', password: 'the first new word' })
    expect(again.status).toBe(200)
  })

  it('change their password only with the one until now, and everybody else under their name is signed out', async () => {
    const { ada, visitor, db } = await startedBook()
    const phone = visitor()
    await phone.fill('/sign-in', { signInName: 'ada', password: OWN_GROUP.password })
    await ada.fill('/people/new', BELA)
    const bela = visitor()
    await bela.fill('/sign-in', { signInName: BELA.signInName, password: BELA.password })
    const form = await ada.open('/people/settle/password')
    const wrong = await ada.send(form, { oldPassword: 'a wrong word', password: 'the next long word' })
    expect(wrong.status).toBe(422)
    expect(wrong.html.querySelector('#oldPassword-error')?.text).toContain('not your password until now')
    expect(wrong.text).not.toContain('a wrong word')
    expect((await phone.open('/people')).path).toBe('/people')
    const changed = await ada.send(form, { oldPassword: OWN_GROUP.password, password: 'the next long word' })
    expect(changed.status).toBe(200)
    expect((await ada.open('/people')).path).toBe('/people')
    expect((await bela.open('/people')).path).toBe('/people')
    expect((await phone.open('/people')).path).toContain('/sign-in')
    const again = await phone.fill('/sign-in', { signInName: 'ada', password: OWN_GROUP.password })
    expect(again.status).toBe(422)
    const kept = await db.selectFrom('entry').select('formDigest').where('kind', '=', 'password').execute()
    expect(JSON.stringify(kept)).not.toContain('long')
  })

  it('are not written when the token against forged forms is missing', async () => {
    const { ada, db } = await startedBook()
    const answer = await ada.agent.post('/people/new').type('form').send(BELA)
    expect(answer.status).toBe(403)
    expect(answer.text).toContain('Bela')
    expect(answer.text).not.toContain(BELA.password)
    expect(await db.selectFrom('person').select('name').execute()).toHaveLength(1)
  })
})
