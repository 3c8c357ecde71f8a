import { createHash } from 'node:crypto'
import argon2 from 'argon2'
import type { Id } from '../../domain/id.ts'
import type { Desk } from '../web/pages/desk.ts'
import { PageError } from '../web/pages/errors.ts'

/** So many passwords are hashed at once and so many more wait; a meeting that signs in together fits. Own choice, no source. */
const AT_ONCE = 2
const MOST_WAITING = 60

/** argon2id with the parameters of RFC 9106's low-memory use; tests hand over cheaper ones. */
export async function hashPassword(
  password: string,
  cost: { memoryCost: number; timeCost: number } = { memoryCost: 19_456, timeCost: 2 },
): Promise<string> {
  return inTurn(() => argon2.hash(password, { type: argon2.argon2id, parallelism: 1, ...cost }))
}

export async function passwordFits(hash: string, password: string): Promise<boolean> {
  return inTurn(() => argon2.verify(hash, password))
}

/** What everybody here knows of somebody: the group's name, theirs and the name to sign in with. */
export async function ownWords({ db, group }: Pick<Desk, 'db' | 'group'>, personId: Id<'person'>): Promise<string[]> {
  const row = await db
    .selectFrom('person')
    .select(['name', 'signInName'])
    .where('entryId', '=', personId)
    .executeTakeFirst()
  return [group.name, row?.name ?? '', row?.signInName ?? '']
}

let running = 0
const waiting: (() => void)[] = []

/** Hashing takes a core and memory, so the rest waits its turn. Throws PageError 503 when too many wait already. */
async function inTurn<T>(work: () => Promise<T>): Promise<T> {
  if (running < AT_ONCE) running++
  else if (waiting.length < MOST_WAITING) await new Promise<void>((begin) => waiting.push(begin))
  else throw new PageError(503, 'error.too-many-at-once')
  try {
    return await work()
  } finally {
    const next = waiting.shift()
    if (next) next()
    else running--
  }
}

/** A key of 256 random bits cannot be guessed, so a plain digest of it is kept: of a session, of a shared device. */
export function hashOfKey(key: string): string {
  return createHash('sha256').update(key).digest('hex')
}
