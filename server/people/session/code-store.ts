import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { passwordFits } from '../password.ts'

/** After so many misses a code rests until its owner signs in with the password. */
const MOST_MISSES = 20

/** A short code of a person's own, in place of the one before. It stands outside the chain and on no print. */
export async function setCode(
  db: Database,
  { personId, codeHash, at }: { personId: Id<'person'>; codeHash: string; at: Date },
): Promise<void> {
  const row = { codeHash, setAt: at.toISOString(), misses: 0 }
  await db
    .insertInto('shortCode')
    .values({ personId, ...row })
    .onConflict((conflict) => conflict.column('personId').doUpdateSet(row))
    .execute()
}

/** The persons who have a code. */
export async function personsWithCode(db: Database): Promise<Set<string>> {
  const rows = await db.selectFrom('shortCode').select('personId').execute()
  return new Set(rows.map(({ personId }) => personId))
}

/**
 * Whether a code fits. The try is counted before it is looked at, so that many at once cannot be more than are allowed; one
 * that fits begins the count anew.
 */
export async function tryCode(db: Database, personId: Id<'person'>, code: string): Promise<'fits' | 'wrong' | 'rests'> {
  const counted = await db
    .updateTable('shortCode')
    .set((eb) => ({ misses: eb('misses', '+', 1) }))
    .where('personId', '=', personId)
    .where('misses', '<', MOST_MISSES)
    .returning('codeHash')
    .executeTakeFirst()
  if (!counted) return 'rests'
  if (!(await passwordFits(counted.codeHash, code))) return 'wrong'
  await wakeCode(db, personId)
  return 'fits'
}

/** The password was used: whatever was missed before is forgotten. */
export async function wakeCode(db: Database, personId: Id<'person'>): Promise<void> {
  await db.updateTable('shortCode').set({ misses: 0 }).where('personId', '=', personId).execute()
}
