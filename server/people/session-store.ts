import { createHash, randomBytes } from 'node:crypto'
import type { Database } from '../database/connection.ts'
import type { SignedIn } from '../web/page.ts'
import { rolesOf } from './person-store.ts'

const SESSION_HOURS = 12

/** Starts a session and gives its key; only a hash of the key is kept. */
export async function startSession(db: Database, personId: string, at: Date): Promise<string> {
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
  { key, at, today }: { key: string; at: Date; today: string },
): Promise<SignedIn | undefined> {
  const row = await db
    .selectFrom('session')
    .innerJoin('person', 'person.entry_id', 'session.person_id')
    .select(['person.entry_id as id', 'person.name'])
    .where('key_hash', '=', hashOf(key))
    .where('expires_at', '>', at.toISOString())
    .executeTakeFirst()
  return row && { ...row, roles: await rolesOf(db, row.id, today) }
}

function hashOf(key: string): string {
  return createHash('sha256').update(key).digest('hex')
}
