import { sql } from 'kysely'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { rulesHere } from '../after-joining.ts'

/** That no other person here stands for the joining that brought an entry. */
export const isUnnamedJoining = sql<boolean>`not exists (
  select 1 from approval where approval.subject_id = brought_ruling.entry_id and ${rulesHere('approval')})`

/**
 * For each of some entries that another device brought, whoever joined its book, as long as no other person here stands for the
 * joining: a file can be written by anybody, in anybody's name.
 */
export async function joinersOf(db: Database, ids: readonly string[]): Promise<ReadonlyMap<string, Id<'person'>>> {
  if (ids.length === 0) return new Map()
  const rows = await db
    .selectFrom('broughtRuling')
    .innerJoin('entry', 'entry.id', 'broughtRuling.entryId')
    .select(['broughtRuling.broughtId', 'entry.writtenBy'])
    .where('broughtRuling.broughtId', 'in', [...ids])
    .where(isUnnamedJoining)
    .execute()
  return new Map(rows.map(({ broughtId, writtenBy }) => [broughtId, writtenBy]))
}
