import { beforeAll, describe, expect, it } from 'vitest'
import { rolesOf } from '../../server/people/person/store.ts'
import { startedBook } from '../support/book.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import type { Fields, Visitor } from '../support/visitor.ts'

/** Puts a name under the first thing that waits on somebody's page; the status of a name that is not taken. */
async function nameOn(visitor: Visitor, personPath: string): Promise<number> {
  const page = await visitor.open(personPath)
  const form = page.html.querySelector('form[action^="/book/names/"]')
  if (form) return (await visitor.send(page, {}, form.getAttribute('action')!)).status
  return 0
}

const FIRST = 'a first word for them'

describe('an officer alone', () => {
  let valley: Awaited<ReturnType<typeof openValley>>
  let amaru: Visitor
  const ids = new Map<string, string>()
  const pathOf = (name: string) => `/people/${ids.get(name)}`
  const rolesNow = async (name: string) => (await rolesOf(valley.db, ids.get(name) as never, VALLEY_TODAY)).toSorted()
  beforeAll(async () => {
    valley = await openValley()
    amaru = await valley.signIn('amaru')
    const persons = await valley.db.selectFrom('person').select(['entryId', 'signInName']).execute()
    for (const { entryId, signInName } of persons) if (signInName) ids.set(signInName, entryId)
  })

  /** Each grave act about a member, with what is asked of the book to see whether it holds. */
  const ACTS: Record<string, { about: string; at: string; fields: Fields; holds: () => Promise<boolean> }> = {
    'an office given': {
      about: 'hila',
      at: 'change',
      fields: { roles: ['treasurer'], fromOn: VALLEY_TODAY },
      holds: async () => (await rolesNow('hila')).includes('treasurer'),
    },
    'a sign-in ended': {
      about: 'besi',
      at: 'change?as=leaving',
      fields: { what: 'left', fromOn: VALLEY_TODAY },
      holds: async () => (await rolesNow('besi')).length === 0,
    },
    'a sign-in given anew': {
      about: 'hila',
      at: 'change?as=sign-in',
      fields: { password: FIRST },
      holds: async () => {
        const page = await valley.visitor().fill('/sign-in', { signInName: 'hila', password: FIRST })
        return page.status === 200
      },
    },
  }

  it.each(Object.entries(ACTS))(
    'does not bring about %s; another officer who is not concerned does',
    async (_, act) => {
      const written = await amaru.fill(`${pathOf(act.about)}/${act.at}`, act.fields)
      expect(written.words).toContain('Waits for a name')
      expect(await act.holds()).toBe(false)
      // Neither the writer, nor an attendant, nor whom it is about.
      for (const name of ['amaru', 'dovi']) expect(await nameOn(await valley.signIn(name), pathOf(act.about))).toBe(0)
      const { id } = await valley.db.selectFrom('entry').select('id').orderBy('seq', 'desc').executeTakeFirstOrThrow()
      for (const name of ['amaru', 'dovi', act.about]) {
        const visitor = await valley.signIn(name)
        const csrf = (await visitor.open('/people')).html.querySelector('[name=_csrf]')!.getAttribute('value')!
        const answer = await visitor.agent
          .post(`/book/names/${id}`)
          .type('form')
          .send({ _csrf: csrf, _form: `${name} ${id}` })
        expect([403, 422], name).toContain(answer.status)
      }
      expect(await act.holds()).toBe(false)
      expect(await nameOn(await valley.signIn('fanta'), pathOf(act.about))).toBe(200)
      expect(await act.holds()).toBe(true)
    },
  )

  it('writes nothing about oneself, not even with another name', async () => {
    for (const [at, fields] of Object.values(ACTS).map((act) => [act.at, act.fields] as const)) {
      const page = await amaru.fill(`${pathOf('amaru')}/${at}`, fields)
      expect(page.status).toBe(422)
      expect(page.words).toContain('This is about you, so another officer writes it.')
    }
    expect(await rolesNow('amaru')).not.toContain('treasurer')
  })

  it('takes no office from the treasurer', async () => {
    const before = await rolesNow('fanta')
    await amaru.fill(`${pathOf('fanta')}/change`, { roles: ['neighbour'], fromOn: VALLEY_TODAY })
    expect(await nameOn(await valley.signIn('fanta'), pathOf('fanta'))).toBe(0)
    expect(await rolesNow('fanta')).toEqual(before)
  })

  it('gives no invented person an office, and such a person’s name counts after seven days or by a minute', async () => {
    const invent = async (number: string, signInName: string, minute = '') => {
      const person = {
        number,
        name: signInName,
        roles: ['committee', 'treasurer'],
        signInName,
        password: FIRST,
        minute,
      }
      const page = await amaru.fill('/people/new', person)
      ids.set(signInName, page.path.split('/').at(-1)!)
      const visitor = valley.visitor()
      await visitor.fill('/sign-in', { signInName, password: FIRST })
      return visitor
    }
    const zed = await invent('901', 'zed')
    expect(await rolesNow('zed')).toEqual(['member'])
    expect((await zed.open('/money/vouchers')).status).toBe(403)
    expect(await nameOn(await valley.signIn('fanta'), pathOf('zed'))).toBe(200)
    expect(await rolesNow('zed')).toEqual(['committee', 'treasurer'])
    await amaru.fill(`${pathOf('isko')}/change`, { roles: ['member'], fromOn: VALLEY_TODAY })
    const waits = await zed.open(pathOf('isko'))
    expect(waits.words).toContain('Your name counts seven days after you or your office were written in')
    expect(await nameOn(zed, pathOf('isko'))).toBe(0)
    const met = await invent('902', 'met', '2026-17')
    await nameOn(await valley.signIn('fanta'), pathOf('met'))
    expect(await nameOn(met, pathOf('isko'))).toBe(200)
    expect(await rolesNow('isko')).toEqual(['member'])
  })
})

describe('a group with one officer', () => {
  it('gives an office with two members whom its meeting named, after the days in which the first officers are written in', async () => {
    const { ada, visitor, db, setNow } = await startedBook('2026-06-04T05:00:00Z')
    for (const [at, name] of ['bela', 'chidi', 'dina', 'elu'].entries()) {
      const person = { number: String(at + 2), name, roles: ['member'], signInName: name, password: FIRST }
      await ada.fill('/people/new', person)
    }
    const bela = await db
      .selectFrom('person')
      .select('entryId')
      .where('signInName', '=', 'bela')
      .executeTakeFirstOrThrow()
    const path = `/people/${bela.entryId}`
    const roles = () => rolesOf(db, bela.entryId, '2026-07-10')
    setNow('2026-07-10T05:00:00Z')
    await ada.fill('/sign-in', { signInName: 'ada', password: 'a long enough word' })
    const given = { roles: ['treasurer'], fromOn: '2026-07-10' }
    const send = (more: Fields) => ada.fill(`${path}/change`, { ...given, ...more })
    expect((await send({})).words).toContain('Two members can stand in only when a meeting named them')
    expect((await send({ minute: '12', memberA: '3', memberB: '3' })).status).toBe(422)
    // Neither the one concerned nor the writer stands in.
    expect((await send({ minute: '12', memberA: '2', memberB: '3' })).status).toBe(422)
    expect((await send({ minute: '12', memberA: '1', memberB: '3' })).status).toBe(422)
    expect((await send({ minute: '12', memberA: '3', memberB: '4' })).words).toContain('The meeting named chidi, dina')
    // Of an act that waits for two whom the meeting named, whoever is an officer since then is told so.
    const elu = await db.selectFrom('person').select('entryId').where('name', '=', 'elu').executeTakeFirstOrThrow()
    const elus = { roles: ['auditor'], fromOn: '2026-07-10', minute: '13', memberA: '3', memberB: '4' }
    await ada.fill(`/people/${elu.entryId}/change`, elus)
    for (const name of ['chidi', 'dina']) {
      expect(await roles()).toEqual(['member'])
      const member = visitor()
      await member.fill('/sign-in', { signInName: name, password: FIRST })
      expect((await member.open('/')).words).toContain('roles that Ada has written')
      expect(await nameOn(member, path)).toBe(200)
    }
    expect(await roles()).toEqual(['treasurer'])
    const officer = visitor()
    await officer.fill('/sign-in', { signInName: 'bela', password: FIRST })
    const others = await officer.open(`/people/${elu.entryId}`)
    expect(others.words).toContain('Another person is asked for this name, and only theirs counts.')
    expect(await nameOn(officer, others.path)).toBe(0)
  })
})

it('whoever leaves tomorrow stands with a name for what is written this evening, also where the day in London is over', async () => {
  const { ada, visitor, setNow, db } = await startedBook('2026-06-04T16:00:00Z', { timeZone: 'America/New_York' })
  const bo = { number: '2', name: 'Bo', roles: ['committee'], signInName: 'bo', password: FIRST }
  const { path } = await ada.fill('/people/new', bo)
  await ada.fill(`${path}/change?as=leaving`, { what: 'left', fromOn: '2026-06-05' })
  const decided = { number: '1', metOn: '2026-06-04', body: 'meeting', words: 'The path is mended.' }
  // Nine in the evening of the 4th in New York, one in the morning of the 5th in London.
  setNow('2026-06-05T01:00:00Z')
  await ada.fill('/sign-in', { signInName: 'ada', password: 'a long enough word' })
  await ada.fill('/people/decisions/new', decided)
  const { entryId } = await db.selectFrom('decision').select('entryId').executeTakeFirstOrThrow()
  const other = visitor()
  await other.fill('/sign-in', { signInName: 'bo', password: FIRST })
  expect(await nameOn(other, `/people/lines/decision/${entryId}`)).toBe(200)
  expect(await db.selectFrom('approval').select('subjectId').execute()).toContainEqual({ subjectId: entryId })
})
