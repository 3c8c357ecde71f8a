import { createHash, randomBytes } from 'node:crypto'
import type { Database } from '../../database/connection.ts'
import type { SignedIn } from '../../web/pages/page.ts'
import { rolesOf } from '../person/store.ts'

const SESSION_HOURS = 12
/** On a phone that passes from hand to hand, long enough to log a turn with wet thumbs. */
const IDLE_MINUTES = 10
/** A long page of paper may take an hour to type; what was begun in time may still be sent. */
const SENDING_MINUTES = 60

/** Starts a session and gives its key; only a hash of the key is kept. */
export async function startSession(
  db: Database,
  { personId, at, isShared }: { personId: string; at: Date; isShared: boolean },
): Promise<string> {
  const key = randomBytes(32).toString('base64url')
  const expires = new Date(at.getTime() + SESSION_HOURS * 3_600_000)
  await db.deleteFrom('session').where('expires_at', '<', at.toISOString()).execute()
  await db
    .insertInto('session')
    .values({
      key_hash: hashOf(key),
      person_id: personId,
      started_at: at.toISOString(),
      expires_at: expires.toISOString(),
      idle_minutes: isShared ? IDLE_MINUTES : null,
      seen_at: at.toISOString(),
    })
    .execute()
  return key
}

export async function endSession(db: Database, key: string): Promise<void> {
  await db.deleteFrom('session').where('key_hash', '=', hashOf(key)).execute()
}

/** Whoever else is signed in under this person's name is signed out. */
export async function endOtherSessions(db: Database, { personId, key }: { personId: string; key: string }) {
  await db.deleteFrom('session').where('person_id', '=', personId).where('key_hash', '!=', hashOf(key)).execute()
}

/** Who holds the key, with the roles of the group's own day: `today`, not the day that it is in Greenwich. */
export async function personOfSession(
  db: Database,
  { key, at, today, isSending }: { key: string; at: Date; today: string; isSending: boolean },
): Promise<SignedIn | undefined> {
  const row = await db
    .selectFrom('session')
    .innerJoin('person', 'person.entry_id', 'session.person_id')
    .select(['person.entry_id as id', 'person.name', 'idle_minutes', 'seen_at'])
    .where('key_hash', '=', hashOf(key))
    .where('expires_at', '>', at.toISOString())
    .executeTakeFirst()
  if (!row) return undefined
  if (row.idle_minutes !== null) {
    const minutes = isSending ? SENDING_MINUTES : row.idle_minutes
    if (isIdle(row.seen_at, at, minutes)) return void (await endSession(db, key))
    await db.updateTable('session').set({ seen_at: at.toISOString() }).where('key_hash', '=', hashOf(key)).execute()
  }
  return { id: row.id, name: row.name, roles: await rolesOf(db, row.id, today) }
}

function isIdle(seenAt: string | null, at: Date, minutes: number): boolean {
  return seenAt !== null && at.getTime() - Date.parse(seenAt) > minutes * 60_000
}

function hashOf(key: string): string {
  return createHash('sha256').update(key).digest('hex')
}
