import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** What only paper tells: the day's line of a tank's sheet, and the slip that came back for a draw that was logged before. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      tank_day: `${OWN_ID}, tank_id text not null references tank (entry_id), on_date text not null,
        filled_m3 real check (filled_m3 >= 0), animals integer check (animals >= 0), remark text`,
      draw_slip: `${OWN_ID}, subject_id text not null references entry (id), slip_no integer not null check (slip_no > 0)`,
    })
  })
}
