import { type Kysely, sql } from 'kysely'
import { createFactTables, ENTRY, makeAppendOnly } from './append-only.ts'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    // The first member writes the entry that brings in the first member, so this one reference is checked at the end.
    await sql`create table entry (
      seq integer primary key autoincrement,
      id text not null unique,
      kind text not null,
      happened_at text not null,
      written_at text not null,
      written_by text not null references person (entry_id) deferrable initially deferred,
      for_person_id text references person (entry_id) deferrable initially deferred,
      corrects_id text references entry (id),
      reason text,
      form_key text unique,
      form_digest text,
      form_answer text,
      paper_page text,
      paper_row integer,
      previous_hash text not null,
      hash text not null unique,
      check (corrects_id is null or reason is not null)) strict`.execute(trx)
    await sql`create index entry_by_correction on entry (corrects_id)`.execute(trx)
    await sql`create index entry_by_kind on entry (kind, happened_at)`.execute(trx)
    await makeAppendOnly(trx, ['entry'])
    await createFactTables(trx, {
      approval: `${ENTRY}, subject_id text not null references entry (id)`,
    })
  })
}
