import { type Kysely, sql } from 'kysely'
import { createFactTables, ENTRY, makeAppendOnly, OWN_ID } from './append-only.ts'

const PUMP = 'pump_id text not null references pump (entry_id)'

/**
 * What stands still and until when, meters that were replaced, night tests by the pump's meter, clashes that a person has
 * settled, and the books that were joined into this one.
 */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      fault_place: `${OWN_ID}, outlet_id text references outlet (entry_id), runs_again_on text`,
      pump_meter: `${OWN_ID}, ${PUMP}, on_date text not null, at_time text not null,
        digits integer not null check (digits between 3 and 9), old_last_m3 real not null check (old_last_m3 >= 0),
        new_first_m3 real not null check (new_first_m3 >= 0), serial text`,
      meter_night_test: `${OWN_ID}, ${PUMP}, on_date text not null, remark text`,
      meter_night_reading: `${ENTRY}, place integer not null, line text, start_m3 real not null, end_m3 real not null,
        hours real not null check (hours > 0), unique (entry_id, place)`,
      clash_settled: `${OWN_ID}, kind text not null, first_id text not null references entry (id),
        second_id text not null references entry (id), words text not null`,
    })
    await createPartedTables(trx)
  })
}

/** How the books stood that were joined: nothing is added to their entries, so these rows hang on none. */
async function createPartedTables(db: Kysely<any>): Promise<void> {
  await sql`create table parted_book (
    head_hash text primary key, after_hash text not null, entries integer not null) strict`.execute(db)
  await sql`create table parted_line (
    head_hash text not null references parted_book (head_hash), place integer not null,
    moved_id text not null references entry (id), was_hash text not null, primary key (head_hash, place)) strict`.execute(
    db,
  )
  await sql`create index parted_line_by_hash on parted_line (was_hash)`.execute(db)
  await makeAppendOnly(db, ['parted_book', 'parted_line'])
}
