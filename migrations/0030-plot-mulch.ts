import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** What keeps the ground between the plants from drying: straw or film, and how much of it they cover. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      plot_mulch: `${OWN_ID}, plot_id text not null references plot (entry_id), from_on text not null,
        kind text not null check (kind in ('none', 'straw', 'film')),
        cover_fraction real not null check (cover_fraction between 0 and 1)`,
    })
  })
}
