import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** How somebody asked whose words another person wrote in: beside a request, a booking, a swap, a stand-in or an excuse. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await createFactTables(db, {
    asked_through: `${OWN_ID}, how text not null check (how in ('present', 'child', 'message', 'ticket')), bearer text`,
  })
}
