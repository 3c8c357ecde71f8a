import { type Kysely, sql } from 'kysely'

/**
 * A week that was taken back may be published anew: a second publication is refused only while an earlier one stands. Who first
 * opened the sheet for the board is kept outside the chain; of weeks published before, nobody knows, so their sheet counts as opened.
 */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await sql`drop trigger published_week_once`.execute(trx)
    await sql`create trigger published_week_once before insert on published_week
      when not exists (select 1 from joining)
        and exists (select 1 from published_week where week_start_on = new.week_start_on
          and not exists (select 1 from entry where entry.corrects_id = published_week.entry_id))
      begin select raise(abort, 'given already: published_week.week_start_on'); end`.execute(trx)
    await sql`create table sheet_opened (published_id text primary key references published_week (entry_id),
      person_id text references person (entry_id), opened_at text) strict`.execute(trx)
    await sql`insert into sheet_opened (published_id) select entry_id from published_week`.execute(trx)
  })
}
