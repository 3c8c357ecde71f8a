import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

/** The mark that a person goes by from a day on (none where it was given up), and pictures that the group struck out. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      person_mark: `${OWN_ID}, person_id text not null references person (entry_id), from_on text not null,
        picture text, frame text check (frame in ('bare', 'ring', 'box', 'ground')),
        asked text check (asked in ('present', 'message', 'meeting')), check ((picture is null) = (frame is null))`,
      picture_ruling: `${ENTRY}, picture text not null, is_struck integer not null check (is_struck in (0, 1))`,
    })
  })
}
