import { beforeAll, describe, expect, it } from 'vitest'
import type { Id } from '../../domain/id.ts'
import { newId } from '../../server/book/entries.ts'
import type { Database } from '../../server/database/connection.ts'
import { hashPassword } from '../../server/people/password.ts'
import { setCode, tryCode, wakeCode } from '../../server/people/session/code-store.ts'
import { dropKept, keptOf } from '../../server/people/session/kept-store.ts'
import { dropCodes, hasList, newCodes, useCode } from '../../server/people/session/one-time-store.ts'
import * as sessions from '../../server/people/session/store.ts'
import { CHEAP_HASHING, startedBook } from '../support/book.ts'

const AT = new Date('2026-06-04T05:00:00Z')
const LATER = new Date('2026-06-04T05:05:00Z')
const TABLES = ['session', 'shortCode', 'oneTimeCode', 'keptAside'] as const

const hashed = hashPassword('135790', CHEAP_HASHING)

interface Door {
  personId: Id<'person'>
  keys: string[]
  codes: string[]
  keptId: string
}

/** Everything of somebody's door: two phones signed in, a short code missed once, a printed list, a form kept aside. */
async function doorOf(db: Database, personId: Id<'person'>): Promise<Door> {
  const start = () => sessions.startSession(db, { personId, at: AT, isShared: false, mustChoose: true })
  const keys = [await start(), await start()]
  await setCode(db, { personId, codeHash: await hashed, at: AT })
  await db.updateTable('shortCode').set({ misses: 1 }).where('personId', '=', personId).execute()
  const keptId = newId()
  await db
    .insertInto('keptAside')
    .values({ id: keptId, personId, path: '/', fields: '[]', at: AT.toISOString() })
    .execute()
  return { personId, keys, codes: await newCodes(db, personId), keptId }
}

const rowsOf = async (db: Database, personId: string) =>
  Promise.all(
    TABLES.map(async (table) =>
      (await db.selectFrom(table).selectAll().execute()).filter((row) => row.personId === personId),
    ),
  )

const idOf = async (db: Database, { personId, keys }: Door) =>
  (await sessions.sessionsOf(db, { personId, key: keys[0]!, at: AT })).find(({ isThis }) => !isThis)!.id

/** Each act at one's own door. What is somebody else's stands where a caller hands it in beside one's own name. */
const ACTS: [string, (db: Database, own: Door, other: Door) => Promise<unknown>][] = [
  ['a sign-in ended', (db, { keys }) => sessions.endSession(db, keys[0]!)],
  [
    'signed in anew on one phone',
    (db, { personId, keys: [before] }) => sessions.startSession(db, { personId, at: LATER, isShared: false, before }),
  ],
  [
    'all other sign-ins ended',
    (db, { personId, keys: [key] }) => sessions.endOtherSessions(db, { personId, key: key! }),
  ],
  [
    'one of the sign-ins ended',
    async (db, own) => sessions.endOneOf(db, { personId: own.personId, id: await idOf(db, own) }),
  ],
  ['a password chosen', (db, { personId }) => sessions.passwordChosen(db, personId)],
  [
    'a page opened',
    (db, { keys: [key] }) => sessions.personOfSession(db, { key: key!, at: LATER, today: '2026-06-04' }),
  ],
  ['a short code set anew', (db, { personId }) => setCode(db, { personId, codeHash: 'another', at: LATER })],
  ['a short code missed', (db, { personId }) => tryCode(db, personId, '111111')],
  ['a short code that fits', (db, { personId }) => tryCode(db, personId, '135790')],
  ['the password used after misses', (db, { personId }) => wakeCode(db, personId)],
  ['a new printed list', (db, { personId }) => newCodes(db, personId)],
  ['a code of the list used', (db, { personId, codes }) => useCode(db, { personId, code: codes[2]!, at: LATER })],
  ['the list given up', (db, { personId }) => dropCodes(db, personId)],
  ['a kept form let go', (db, { personId, keptId }) => dropKept(db, { id: keptId, personId })],
]

/** What reaches for something of somebody else and finds nothing there. */
const REACHES: typeof ACTS = [
  [
    'a sign-in of another',
    async (db, { personId }, other) => sessions.endOneOf(db, { personId, id: await idOf(db, other) }),
  ],
  [
    'a code of another',
    async (db, { personId }, { codes }) =>
      expect(await useCode(db, { personId, code: codes[2]!, at: LATER })).toBe(false),
  ],
  ['a kept form of another', (db, { personId }, { keptId }) => dropKept(db, { id: keptId, personId })],
]

describe('at a door beside that of another person', () => {
  let db: Database
  let ids: Id<'person'>[]

  beforeAll(async () => {
    const book = await startedBook()
    db = book.db
    await book.ada.fill('/people/new', {
      number: '2',
      name: 'Bo',
      roles: ['member'],
      signInName: 'bo',
      password: 'a word of his own',
    })
    ids = (await db.selectFrom('person').select('entryId').execute()).map(({ entryId }) => entryId)
  })

  async function twoDoors(): Promise<[Door, Door]> {
    for (const table of TABLES) await db.deleteFrom(table).execute()
    return [await doorOf(db, ids[0]!), await doorOf(db, ids[1]!)]
  }

  it.each(ACTS)('%s changes what is one’s own and nothing else', async (_, act) => {
    for (const turned of [false, true]) {
      const doors = await twoDoors()
      const [own, other] = turned ? doors.toReversed() : doors
      const [ownBefore, otherBefore] = [await rowsOf(db, own!.personId), await rowsOf(db, other!.personId)]
      await act(db, own!, other!)
      expect(await rowsOf(db, own!.personId)).not.toEqual(ownBefore)
      expect(await rowsOf(db, other!.personId)).toEqual(otherBefore)
    }
  })

  it.each(REACHES)('%s is out of reach', async (_, act) => {
    for (const turned of [false, true]) {
      const doors = await twoDoors()
      const [own, other] = turned ? doors.toReversed() : doors
      const before = await Promise.all(doors.map(({ personId }) => rowsOf(db, personId)))
      await act(db, own!, other!)
      expect(await Promise.all(doors.map(({ personId }) => rowsOf(db, personId)))).toEqual(before)
    }
  })

  it('everybody is shown their own: sign-ins, kept forms, whether there is a list', async () => {
    const [one, other] = await twoDoors()
    await dropCodes(db, one.personId)
    expect([await hasList(db, one.personId), await hasList(db, other.personId)]).toEqual([false, true])
    for (const { personId, keptId, keys } of [one, other]) {
      expect((await keptOf(db, personId)).map(({ id }) => id)).toEqual([keptId])
      const shown = await sessions.sessionsOf(db, { personId, key: keys[1]!, at: AT })
      expect(shown.map(({ isThis }) => isThis).sort()).toEqual([false, true])
    }
  })
})
