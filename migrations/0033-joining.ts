import { type Kysely, sql } from 'kysely'
import { createFactTables, ENTRY, makeAppendOnly, OWN_ID } from './append-only.ts'

/**
 * A book that was joined in says who did it and what of it waits for a name. Two devices may both have published a week: both
 * are kept and one is chosen, so the week of a publication is no longer unique while books are being joined.
 */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      book_joined: `${OWN_ID}, only_here integer not null, brought integer not null, shared integer not null`,
      brought_ruling: `${ENTRY}, brought_id text not null references entry (id)`,
    })
    await sql`create index brought_ruling_by_brought on brought_ruling (brought_id)`.execute(trx)
    await publishedTwiceWhileJoining(trx)
    await createFactTables(trx, {
      week_chosen: `${OWN_ID}, week_start_on text not null,
        published_id text not null references published_week (entry_id)`,
    })
  })
}

async function publishedTwiceWhileJoining(trx: Kysely<any>): Promise<void> {
  await sql`create table published_week_anew (
    ${sql.raw(OWN_ID)}, week_start_on text not null, format_version integer not null,
    engine_version text not null, inputs text not null, results text not null) strict`.execute(trx)
  await sql`insert into published_week_anew
    select entry_id, week_start_on, format_version, engine_version, inputs, results from published_week`.execute(trx)
  await sql`drop table published_week`.execute(trx)
  await sql`alter table published_week_anew rename to published_week`.execute(trx)
  await makeAppendOnly(trx, ['published_week'])
  await sql`create index published_week_given on published_week (week_start_on)`.execute(trx)
  await sql`create trigger published_week_once before insert on published_week
    when not exists (select 1 from joining)
      and exists (select 1 from published_week where week_start_on = new.week_start_on)
    begin select raise(abort, 'given already: published_week.week_start_on'); end`.execute(trx)
}
