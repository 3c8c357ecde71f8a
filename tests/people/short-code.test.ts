import { describe, expect, it } from 'vitest'
import { OWN_GROUP, startedBook } from '../support/book.ts'
import { chosen } from '../support/visitor.ts'

const ADA = { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password }
const BO = { signInName: 'bo', password: 'bo has a word' }
const CODE = '704213'

/** Ada's phone is registered by her and named by Bo; Bo has a mark and a code. */
async function registered() {
  const { visitor } = await startedBook('2026-06-04T05:00:00Z')
  const device = visitor()
  const own = visitor()
  await device.fill('/sign-in', ADA)
  await device.fill('/people/new', { number: '2', name: 'Bo', roles: ['attendant'], ...BO })
  await own.fill('/sign-in', BO)
  const boAt = (await own.open('/')).html.querySelector('.who a')!.getAttribute('href')!
  await own.fill(`${boAt}/mark/boat`, { frame: 'bare' })
  const refused = await own.fill('/people/settle/code', { oldPassword: 'not this', code: CODE })
  expect(refused.words).toContain('That is not your password until now')
  await own.fill('/people/settle/code', { oldPassword: chosen(BO.password), code: CODE })
  await device.fill('/people/settle/device', { name: 'phone at pump 1' })
  const codeAt = boAt.replace('/people/', '/sign-in/')
  const signOut = async () => {
    const page = await device.open('/people')
    const token = page.html.querySelector('footer input[name=_csrf]')!.getAttribute('value')!
    await device.agent.post('/sign-out').type('form').send({ _csrf: token })
  }
  const name = async () => {
    const page = await own.open('/people/devices')
    const action = page.html.querySelector('form[action^="/book/names/"]')!.getAttribute('action')!
    return own.send(page, {}, action)
  }
  return { visitor, device, own, codeAt, signOut, name }
}

describe('signing in by mark and code', () => {
  it('works on a device that two officers registered, from the mark on, and not before the second name', async () => {
    const { device, codeAt, signOut, name } = await registered()
    await signOut()
    expect((await device.open('/sign-in')).html.querySelector('.pictures')).toBeNull()
    expect((await device.open(codeAt)).path).toBe('/sign-in')
    await name()
    const marks = await device.open('/sign-in')
    expect(marks.html.querySelector(`a[href="${codeAt}"] svg`)!.getAttribute('aria-label')).toBe('the boat')
    expect((await device.fill(codeAt, { code: '111112' })).words).toContain('These are not the digits')
    await device.fill(codeAt, { code: CODE })
    expect((await device.open('/people')).html.querySelector('.who')!.text).toContain('Bo')
  })

  it('opens nothing on any other device, also with the right code and a form of a registered one', async () => {
    const { visitor, codeAt, name } = await registered()
    await name()
    const other = visitor()
    expect((await other.open('/sign-in')).html.querySelector('.pictures')).toBeNull()
    const door = await other.open(codeAt)
    expect(door.path).toBe('/sign-in')
    const token = door.html.querySelector('main input[name=_csrf]')!.getAttribute('value')!
    const answer = await other.agent.post(codeAt).type('form').send({ _csrf: token, code: CODE })
    expect(answer.status).toBe(401)
    expect(answer.text).toContain('no code works on it')
    expect((await other.open('/people')).path).toContain('/sign-in')
  })

  it('rests after twenty misses, also for the right code, until the password is used', async () => {
    const { device, own, codeAt, signOut, name } = await registered()
    await name()
    await signOut()
    const page = await device.open(codeAt)
    for (let miss = 0; miss < 20; miss++) await device.send(page, { code: '111112' })
    expect((await device.send(page, { code: CODE })).words).toContain('the code rests')
    await own.fill('/sign-in', BO)
    await device.send(page, { code: CODE })
    expect((await device.open('/people')).html.querySelector('.who')!.text).toContain('Bo')
  })

  it('ends with the registration, which any officer ends', async () => {
    const { device, own, codeAt, signOut, name } = await registered()
    await name()
    await signOut()
    const page = await device.open(codeAt)
    const list = await own.open('/people/devices')
    const end = list.html.querySelector('form[action$="/end"]')!.getAttribute('action')!
    expect((await own.send(list, {}, end)).words).toContain('Ended by Bo')
    expect((await device.send(page, { code: CODE })).status).toBe(401)
    expect((await device.open('/sign-in')).html.querySelector('.pictures')).toBeNull()
  })

  it('takes no digits that everybody tries first', async () => {
    const { own } = await registered()
    for (const code of ['111111', '123456', '987654']) {
      const page = await own.fill('/people/settle/code', { oldPassword: chosen(BO.password), code })
      expect(page.words).toContain('Everybody tries these first')
    }
    expect(
      (await own.fill('/people/settle/code', { oldPassword: chosen(BO.password), code: '12345x' })).words,
    ).toContain('six')
  })
})
