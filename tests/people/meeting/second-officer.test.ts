import { beforeAll, expect, it } from 'vitest'
import type { Pen } from '../../../server/book/entries.ts'
import { approve } from '../../../server/book/names/approvals.ts'
import { giveSignIn, hasSecondOfficer } from '../../../server/people/person/grave-store.ts'
import { listPersons, setRoles } from '../../../server/people/person/store.ts'
import { levelWriters } from '../../../server/water/level/writers-store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'

const PEOPLE = ['writes', 'is concerned', 'signs in', 'has no sign-in'] as const
type Who = (typeof PEOPLE)[number]

let valley: Awaited<ReturnType<typeof openValley>>
const ids = {} as Record<Who, string>

beforeAll(async () => {
  valley = await openValley()
  const persons = await valley.db.selectFrom('person').select(['entryId', 'signInName']).orderBy('number').execute()
  const signingIn = persons.filter(({ signInName }) => signInName !== null)
  const silent = persons.find(({ signInName }) => signInName === null)!
  for (const [at, who] of PEOPLE.entries()) ids[who] = (signingIn[at + 1] ?? silent).entryId
  ids['has no sign-in'] = silent.entryId
})

/** Every way in which these four may be officers. */
const COMMITTEES = Array.from({ length: 16 }, (_, bits) => PEOPLE.filter((_, at) => bits & (1 << at)))

it.each(COMMITTEES.map((officers) => [officers.join(', ') || 'nobody', officers] as const))(
  'where the officers are: whoever %s, a grave act waits for a second name only if one is left who can give it',
  async (_, officers) => {
    const { db } = valley
    await db.transaction().execute(async (trx) => {
      const pen = { trx, writtenBy: ids.writes, writtenAt: `${VALLEY_TODAY}T09:00:00.000Z` }
      for (const { id } of await listPersons(trx)) {
        const isOfficer = officers.some((who) => ids[who] === id)
        await setRoles(pen, id, [isOfficer ? 'committee' : 'member'], VALLEY_TODAY)
      }
    })
    const about = {
      writerId: ids.writes,
      personId: ids['is concerned'],
      at: new Date(`${VALLEY_TODAY}T10:00:00Z`),
      today: VALLEY_TODAY,
    }
    expect(await hasSecondOfficer(db, about)).toBe(officers.includes('signs in'))
    const aboutNobody = { ...about, personId: null }
    expect(await hasSecondOfficer(db, aboutNobody)).toBe(
      officers.includes('signs in') || officers.includes('is concerned'),
    )
  },
)

it('a sign-in that waits for its name is none yet: nobody waits for that person’s name, nor for another reading of theirs', async () => {
  const { db } = valley
  const has = ids['has no sign-in']
  const pen = (trx: Pen['trx'], who: Who, hour: string): Pen => ({
    trx,
    writtenBy: ids[who],
    writtenAt: `${VALLEY_TODAY}T${hour}:00.000Z`,
  })
  const signInId = await db.transaction().execute(async (trx) => {
    for (const { id } of await listPersons(trx)) {
      const roles = id === has || id === ids.writes ? ['committee', 'attendant'] : ['member']
      await setRoles(pen(trx, 'writes', '11:00'), id, roles, VALLEY_TODAY)
    }
    const given = { personId: has, passwordHash: 'a hash' }
    return giveSignIn(pen(trx, 'writes', '11:00'), given, { minute: null, memberIds: [] })
  })
  const about = { writerId: ids.writes, personId: null, at: new Date(`${VALLEY_TODAY}T12:00:00Z`), today: VALLEY_TODAY }
  const found = async () => [await hasSecondOfficer(db, about), (await levelWriters(db, VALLEY_TODAY)).areSeveral]
  expect(await found()).toEqual([false, false])
  await db.transaction().execute(async (trx) => {
    await setRoles(pen(trx, 'writes', '13:00'), ids['signs in'], ['committee'], VALLEY_TODAY)
    await approve(pen(trx, 'signs in', '13:01'), signInId)
    await setRoles(pen(trx, 'writes', '13:02'), ids['signs in'], ['member'], VALLEY_TODAY)
  })
  expect(await found()).toEqual([true, true])
})
