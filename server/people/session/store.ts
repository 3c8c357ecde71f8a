import { randomBytes } from 'node:crypto'
import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import type { SignedIn } from '../../web/pages/page.ts'
import { hashOfKey } from '../password.ts'
import { rolesOf } from '../person/store.ts'

const SESSION_HOURS = 12
/** On a phone that passes from hand to hand, long enough to log a turn with wet thumbs. */
const IDLE_MINUTES = 10
/** A long page of paper may take an hour to type; what was begun in time may still be sent. */
const SENDING_MINUTES = 60

/** Starts a session and gives its key; only a hash of the key is kept. */
export async function startSession(
  db: Database,
  { personId, at, isShared }: { personId: Id<'person'>; at: Date; isShared: boolean },
): Promise<string> {
  const key = randomBytes(32).toString('base64url')
  const expires = new Date(at.getTime() + SESSION_HOURS * 3_600_000)
  await db.deleteFrom('session').where('expiresAt', '<', at.toISOString()).execute()
  await db
    .insertInto('session')
    .values({
      keyHash: hashOfKey(key),
      personId,
      startedAt: at.toISOString(),
      expiresAt: expires.toISOString(),
      idleMinutes: isShared ? IDLE_MINUTES : null,
      seenAt: at.toISOString(),
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

/** Whoever else is signed in under this person's name is signed out. */
export async function endOtherSessions(db: Database, { personId, key }: { personId: Id<'person'>; key: string }) {
  await db.deleteFrom('session').where('personId', '=', personId).where('keyHash', '!=', hashOfKey(key)).execute()
}

/** Who holds the key, with the roles of the group's own day: `today`, not the day that it is in Greenwich. */
export async function personOfSession(
  db: Database,
  { key, at, today, isSending }: { key: string; at: Date; today: string; isSending: boolean },
): Promise<SignedIn | undefined> {
  const row = await db
    .selectFrom('session')
    .innerJoin('person', 'person.entryId', 'session.personId')
    .select(['person.entryId as id', 'person.number', 'person.name', 'idleMinutes', 'seenAt'])
    .where('keyHash', '=', hashOfKey(key))
    .where('expiresAt', '>', at.toISOString())
    .executeTakeFirst()
  if (!row) return undefined
  if (row.idleMinutes !== null) {
    const minutes = isSending ? SENDING_MINUTES : row.idleMinutes
    if (isIdle(row.seenAt, at, minutes)) return void (await endSession(db, key))
    await db.updateTable('session').set({ seenAt: at.toISOString() }).where('keyHash', '=', hashOfKey(key)).execute()
  }
  return { id: row.id, number: row.number, name: row.name, roles: await rolesOf(db, row.id, today) }
}

function isIdle(seenAt: Instant | null, at: Date, minutes: number): boolean {
  return seenAt !== null && at.getTime() - Date.parse(seenAt) > minutes * 60_000
}
