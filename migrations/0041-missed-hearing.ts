import { type Kysely, sql } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** A turn left without word is heard before it is charged, may be appealed, and may cost a part of what the turn would have cost. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await sql`alter table tariff_part add column part real check (part > 0 and part <= 1)`.execute(trx)
    await createFactTables(trx, {
      missed_hearing: `${OWN_ID}, turn_id text not null references turn (id), heard_on text not null, hearing text not null,
        appeal_until text not null, check (appeal_until >= heard_on)`,
      missed_appeal: `${OWN_ID}, hearing_id text not null references missed_hearing (entry_id), words text not null`,
    })
    await sql`create index missed_hearing_by_turn on missed_hearing (turn_id)`.execute(trx)
  })
}
