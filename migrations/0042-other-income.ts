import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** Money that came in and is nobody's fee says where it came from. */
export async function up(db: Kysely<any>): Promise<void> {
  await createFactTables(db, {
    other_income: `${OWN_ID}, source text not null check (source in ('grant', 'sold-produce', 'interest', 'other')),
      from_whom text not null`,
  })
}
