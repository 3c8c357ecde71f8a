import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

const TURN = 'text not null references turn (id)'

/** What hangs on an amendment of the day: who pays a swapped turn, what had been drawn, who moved up into freed hours. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      swapped_turn: `${OWN_ID}, swap_id text not null references entry (id), turn_id text not null unique references turn (id),
        payer_plot_id text not null references plot (entry_id)`,
      reshared_drawn: `${OWN_ID}, drawn_m3 real not null check (drawn_m3 >= 0),
        basis text not null check (basis in ('log', 'plan'))`,
      moved_up_turn: `${OWN_ID}, freed_turn_id ${TURN}, turn_id ${TURN}`,
    })
  })
}
