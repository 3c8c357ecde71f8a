import crypto from 'node:crypto'
import { syncBuiltinESMExports } from 'node:module'
import argon2 from 'argon2'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { hashPassword } from '../../server/people/password.ts'
import { routesOf } from '../support/addresses.ts'
import { CHEAP_HASHING } from '../support/hashing.ts'
import { openValley } from '../support/valley.ts'
import { Rascal } from './nasty.ts'

/** Every call of something that takes long on purpose. */
const slow = { calls: 0 }
for (const work of ['hash', 'verify'] as const) {
  const really = argon2[work] as (...given: unknown[]) => unknown
  vi.spyOn(argon2, work as 'verify').mockImplementation((async (...given: unknown[]) => {
    slow.calls++
    return really(...given)
  }) as typeof argon2.verify)
}
for (const digest of ['scryptSync', 'pbkdf2Sync', 'scrypt', 'pbkdf2'] as const)
  vi.spyOn(crypto, digest as 'scryptSync').mockImplementation(() => {
    throw new Error('a slow digest on the thread of the request')
  })
syncBuiltinESMExports()

afterAll(() => {
  vi.restoreAllMocks()
  syncBuiltinESMExports()
})

const MANY = Object.fromEntries(Array.from({ length: 200 }, (_, at) => [`password${at}`, 'a long enough word']))
const SAME = { password: Object.values(MANY) }

let valley: Awaited<ReturnType<typeof openValley>>
beforeAll(async () => {
  valley = await openValley()
})
const countEntries = async () => (await valley.db.selectFrom('entry').select('seq').execute()).length

describe('a post full of passwords', () => {
  it.each([
    ['two hundred fields', MANY],
    ['one field two hundred times', SAME],
  ])('of a stranger is refused at every address without any hashing: %s', async (_, body) => {
    const forms = routesOf(valley.app.printRoutes({ commonPrefix: false })).filter(({ method }) => method === 'POST')
    expect(forms.length).toBeGreaterThan(90)
    const stranger = new Rascal(valley.app)
    await stranger.open('/sign-in')
    const before = { calls: slow.calls, entries: await countEntries() }
    const taken: string[] = []
    for (const { path } of forms) {
      const { status } = await stranger.post(path.replace(/:\w+/g, 'x'), body)
      if (![401, 413].includes(status)) taken.push(`${status} ${path}`)
    }
    expect(taken).toEqual([])
    expect({ calls: slow.calls, entries: await countEntries() }).toEqual(before)
  })

  it('of a member who may write in nobody is refused before anything is hashed', async () => {
    const hila = new Rascal(valley.app)
    await hila.signIn('hila')
    const calls = slow.calls
    expect(calls).toBeGreaterThan(0)
    const sent = {
      number: '901',
      name: 'Nobody',
      roles: 'member',
      signInName: 'nobody',
      password: 'a long enough word',
    }
    expect((await hila.post('/people/new', sent)).status).toBe(403)
    expect(slow.calls).toBe(calls)
  })

  it('is answered with a sentence where a form has more fields than it can have', async () => {
    const amaru = new Rascal(valley.app)
    await amaru.signIn('amaru')
    const many = Object.fromEntries(Array.from({ length: 2_001 }, (_, at) => [`f${at}`, '1']))
    for (const body of [many, { ['n'.repeat(101)]: '1' }]) {
      const { status, text } = await amaru.post('/people/new', body)
      expect(status).toBe(413)
      expect(text).toContain('more than this form can hold')
    }
  })
})

describe('passwords that are hashed at the same time', () => {
  it('wait their turn, and beyond sixty in the line are asked to come again', async () => {
    const hashes = Array.from({ length: 70 }, () => hashPassword('a long enough word', CHEAP_HASHING))
    const results = await Promise.allSettled(hashes)
    expect(results.filter(({ status }) => status === 'fulfilled')).toHaveLength(62)
    const refused = results.filter((one) => one.status === 'rejected')
    expect(refused).toHaveLength(8)
    for (const { reason } of refused) expect(reason).toMatchObject({ statusCode: 503, key: 'error.too-many-at-once' })
    await expect(hashPassword('a long enough word', CHEAP_HASHING)).resolves.toMatch(/^\$argon2id\$/)
  })
})
