import { randomBytes } from 'node:crypto'
import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { hasLeft } from '../../book/names/counting.ts'
import type { Database } from '../../database/connection.ts'
import type { Held } from '../../web/pages/visit.ts'
import { hashOfKey } from '../password.ts'
import { rolesOf } from '../person/store.ts'

const SESSION_HOURS = 12
/** On a phone that passes from hand to hand, long enough to log a turn with wet thumbs. */
const SHARED_IDLE_MINUTES = 10
/** So long a sign-in that ran out still tells whose open form comes late. */
const TOLD_HOURS = 24
/** When somebody was seen last is written down once in so long, so that not every page writes. */
const SEEN_EVERY_MS = 60_000
const ID_SIGNS = 16

interface NewSession {
  personId: Id<'person'>
  at: Date
  isShared: boolean
  /** Minutes without a page after which a sign-in on a device of one's own ends. */
  ownIdleMinutes?: number
  address?: string
  mustChoose?: boolean
  /** The session that the same browser had before: it ends. */
  before?: string | undefined
}

/** Starts a session and gives its key; only a hash of the key is kept. */
export async function startSession(
  db: Database,
  { personId, at, isShared, ownIdleMinutes, address, mustChoose = false, before }: NewSession,
): Promise<string> {
  const key = randomBytes(32).toString('base64url')
  const expires = new Date(at.getTime() + SESSION_HOURS * 3_600_000)
  const forgotten = new Date(at.getTime() - TOLD_HOURS * 3_600_000).toISOString()
  await db.deleteFrom('session').where('expiresAt', '<', forgotten).execute()
  if (before) await endSession(db, before)
  await db
    .insertInto('session')
    .values({
      keyHash: hashOfKey(key),
      personId,
      startedAt: at.toISOString(),
      expiresAt: expires.toISOString(),
      idleMinutes: isShared ? SHARED_IDLE_MINUTES : (ownIdleMinutes ?? null),
      seenAt: at.toISOString(),
      address: address ?? null,
      mustChoose: mustChoose ? 1 : 0,
    })
    .execute()
  return key
}

export async function endSession(db: Database, key: string): Promise<void> {
  await db.deleteFrom('session').where('keyHash', '=', hashOfKey(key)).execute()
}

/** Whoever is signed in stays so when the book is told which moment it is. */
export async function moveSessions(db: Database, { at, trueAt }: { at: Date; trueAt: Date }): Promise<void> {
  await db
    .updateTable('session')
    .set({
      expiresAt: new Date(trueAt.getTime() + SESSION_HOURS * 3_600_000).toISOString(),
      seenAt: trueAt.toISOString(),
    })
    .where('expiresAt', '>', at.toISOString())
    .execute()
}

/** A password of one's own was chosen: nothing is kept from this person any more. */
export async function passwordChosen(db: Database, personId: Id<'person'>): Promise<void> {
  await db.updateTable('session').set({ mustChoose: 0 }).where('personId', '=', personId).execute()
}

/** Whoever else is signed in under this person's name is signed out. */
export async function endOtherSessions(db: Database, { personId, key }: { personId: Id<'person'>; key: string }) {
  await db.deleteFrom('session').where('personId', '=', personId).where('keyHash', '!=', hashOfKey(key)).execute()
}

/** Where somebody is signed in; `id` tells a session without telling its key. */
export async function sessionsOf(
  db: Database,
  { personId, key, at }: { personId: Id<'person'>; key: string; at: Date },
) {
  const rows = await db
    .selectFrom('session')
    .select(['keyHash', 'startedAt', 'seenAt', 'address', 'idleMinutes'])
    .where('personId', '=', personId)
    .where('expiresAt', '>', at.toISOString())
    .orderBy('startedAt', 'desc')
    .execute()
  return rows.map(({ keyHash, startedAt, seenAt, address, idleMinutes }) => ({
    id: keyHash.slice(0, ID_SIGNS),
    startedAt,
    seenAt: seenAt ?? startedAt,
    address,
    isShared: idleMinutes === SHARED_IDLE_MINUTES,
    isThis: keyHash === hashOfKey(key),
  }))
}

/** Ends one of somebody's own sessions. */
export async function endOneOf(db: Database, { personId, id }: { personId: Id<'person'>; id: string }): Promise<void> {
  if (id.length !== ID_SIGNS) return
  await db
    .deleteFrom('session')
    .where('personId', '=', personId)
    .where((eb) => eb(eb.fn('substr', ['keyHash', eb.lit(1), eb.lit(ID_SIGNS)]), '=', id))
    .execute()
}

/** Who holds the key, with the roles of the group's own day: `today`, not the day that it is in Greenwich. */
export async function personOfSession(
  db: Database,
  { key, at, today }: { key: string; at: Date; today: string },
): Promise<Held | undefined> {
  const row = await db
    .selectFrom('session')
    .innerJoin('person', 'person.entryId', 'session.personId')
    .select([
      'person.entryId as id',
      'person.number',
      'person.name',
      'idleMinutes',
      'seenAt',
      'expiresAt',
      'mustChoose',
    ])
    .where('keyHash', '=', hashOfKey(key))
    .executeTakeFirst()
  if (!row) return undefined
  const sinceSeen = row.seenAt === null ? 0 : at.getTime() - Date.parse(row.seenAt)
  const isIdle = row.idleMinutes !== null && sinceSeen > row.idleMinutes * 60_000
  if (isIdle || row.expiresAt <= at.toISOString()) {
    // It stays ended, also where the clock is set back, and only tells whose open form comes late.
    await touch(db, key, { expiresAt: new Date(Math.min(at.getTime(), Date.parse(row.expiresAt))).toISOString() })
    return { lapsedId: row.id }
  }
  if (sinceSeen >= SEEN_EVERY_MS) await touch(db, key, { seenAt: at.toISOString() })
  const { id, number, name } = row
  const roles = await rolesOf(db, id, today)
  // Whoever left holds no role; whose office begins on a later day may have none either.
  if (roles.length === 0 && (await hasLeft(db, id, today))) return undefined
  return { person: { id, number, name, roles, mustChoose: row.mustChoose === 1 } }
}

async function touch(db: Database, key: string, change: { expiresAt?: Instant; seenAt?: Instant }): Promise<void> {
  await db.updateTable('session').set(change).where('keyHash', '=', hashOfKey(key)).execute()
}
