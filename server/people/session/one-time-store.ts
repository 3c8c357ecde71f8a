import { randomInt } from 'node:crypto'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { hashOfKey } from '../password.ts'

/** Letters and digits that nobody takes for each other on paper; ten of them hold about 49 bits. */
const SIGNS = 'abcdefghjkmnpqrstuvwxyz23456789'
const SIGNS_IN_CODE = 10
const CODES_ON_A_LIST = 12

/** A new list in place of the one before; the codes are given back once and kept only as digests with whose they are. */
export async function newCodes(db: Database, personId: Id<'person'>): Promise<string[]> {
  const sign = () => SIGNS[randomInt(SIGNS.length)]
  const codes = Array.from({ length: CODES_ON_A_LIST }, () => Array.from({ length: SIGNS_IN_CODE }, sign).join(''))
  await db.transaction().execute(async (trx) => {
    await trx.deleteFrom('oneTimeCode').where('personId', '=', personId).execute()
    const rows = codes.map((code) => ({ codeHash: digestOf(personId, code), personId, usedAt: null }))
    await trx.insertInto('oneTimeCode').values(rows).execute()
  })
  return codes.map((code) => `${code.slice(0, SIGNS_IN_CODE / 2)}-${code.slice(SIGNS_IN_CODE / 2)}`)
}

/** Whether somebody has a list, used up or not: then the password alone opens nothing. */
export async function hasList(db: Database, personId: Id<'person'>): Promise<boolean> {
  const row = await db.selectFrom('oneTimeCode').select('codeHash').where('personId', '=', personId).executeTakeFirst()
  return row !== undefined
}

/** Crosses out a code; false where it is none of theirs or was used. */
export async function useCode(
  db: Database,
  { personId, code, at }: { personId: Id<'person'>; code: string; at: Date },
): Promise<boolean> {
  const used = await db
    .updateTable('oneTimeCode')
    .set({ usedAt: at.toISOString() })
    .where('codeHash', '=', digestOf(personId, code.toLowerCase().replace(/[\s-]/g, '')))
    .where('usedAt', 'is', null)
    .returning('personId')
    .executeTakeFirst()
  return used !== undefined
}

/** No list: the password alone opens again. */
export async function dropCodes(db: Database, personId: Id<'person'>): Promise<void> {
  await db.deleteFrom('oneTimeCode').where('personId', '=', personId).execute()
}

function digestOf(personId: Id<'person'>, code: string): string {
  return hashOfKey(`${personId} ${code}`)
}
