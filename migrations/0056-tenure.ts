import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

/** A plot that was split in one act, with what both halves come to; and the parts of those who hold a plot together. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    plot_split: `${OWN_ID}, plot_id text not null references plot (entry_id), new_plot_id text not null references plot (entry_id),
      split_on text not null, area_m2 real not null check (area_m2 > 0), new_area_m2 real not null check (new_area_m2 > 0),
      shares real not null check (shares >= 0), new_shares real not null check (new_shares >= 0)`,
    holder_part: `${ENTRY}, person_id text not null references person (entry_id), part real not null check (part > 0 and part <= 1),
      unique (entry_id, person_id)`,
  })
}
