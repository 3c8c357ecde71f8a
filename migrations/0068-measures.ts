import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** What the group counts water and land in, what each person counts in, and a volume as it was typed beside its m3. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    group_measure: `${OWN_ID}, from_on text not null, kind text not null check (kind in ('can', 'drum', 'tank', 'area')),
      name text not null, size real not null check (size > 0)`,
    counted_in: `${OWN_ID}, person_id text not null references person (entry_id), from_on text not null, measure text not null`,
    typed_volume: `${OWN_ID}, figure real not null check (figure > 0), unit text not null,
      litres_each real not null check (litres_each > 0), doubt_part real not null check (doubt_part between 0 and 1)`,
  })
}
