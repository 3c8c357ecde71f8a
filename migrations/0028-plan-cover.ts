import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** How much of the ground young trees shade, and how tall they stand. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      plan_cover: `${OWN_ID}, plan_id text not null references crop_plan (entry_id), on_date text not null,
        cover_fraction real not null check (cover_fraction > 0 and cover_fraction <= 1),
        height_m real not null check (height_m > 0)`,
    })
  })
}
