import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** What a pump had given when its day changed, beside the change; and the group's rule for the rest of such a day. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      day_given: `${OWN_ID}, given_m3 real not null check (given_m3 > 0), expected_m3 real not null check (expected_m3 > given_m3)`,
      short_day_rule: `${OWN_ID}, from_on text not null, rule text not null check (rule in ('level', 'queue'))`,
    })
  })
}
