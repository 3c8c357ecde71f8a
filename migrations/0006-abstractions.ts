import { type Kysely, sql } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      abstraction: `${OWN_ID}, on_date text not null, use text not null
          check (use in ('irrigation', 'drinking', 'stock', 'flushing', 'other')),
        weir_id text not null references weir (entry_id), pump_id text references pump (entry_id),
        outlet_id text references outlet (entry_id), plot_id text references plot (entry_id),
        turn_id text references turn (id), taker_id text references person (entry_id),
        method text not null check (method in ('meter', 'hours', 'bucket', 'tank', 'volume')),
        opening_m3 real, closing_m3 real, hours real, flow_m3_per_h real, start_time text, end_time text,
        volume_m3 real not null check (volume_m3 >= 0), uncertainty_m3 real not null check (uncertainty_m3 >= 0),
        grade text not null check (grade in ('measured', 'estimated')), remark text`,
    })
    await sql`create index abstraction_by_date on abstraction (on_date)`.execute(trx)
  })
}
