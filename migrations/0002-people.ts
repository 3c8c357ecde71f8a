import { type Kysely, sql } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      group_setting: `${OWN_ID}, from_on text not null, name text not null,
        latitude_deg real not null check (latitude_deg between -90 and 90),
        longitude_deg real not null check (longitude_deg between -180 and 180),
        elevation_m real not null, time_zone text not null, currency text not null check (length(currency) = 3),
        first_weekday integer not null check (first_weekday between 1 and 7),
        season_start_on text not null, season_end_on text not null, check (season_end_on > season_start_on)`,
      person: `${OWN_ID}, number integer not null unique, name text not null, phone text, sign_in_name text unique`,
      person_role: `${ENTRY}, person_id text not null references person (entry_id), role text not null
        check (role in ('committee', 'attendant', 'treasurer', 'auditor', 'neighbour', 'member')),
        from_on text not null, unique (entry_id, role)`,
      credential: `${OWN_ID}, person_id text not null references person (entry_id), password_hash text not null`,
      received_before: `${OWN_ID}, plot_id text not null references plot (entry_id), until_on text not null,
        volume_m3 real not null check (volume_m3 >= 0)`,
      pump: `${OWN_ID}, number integer not null unique, name text not null`,
      pump_detail: `${OWN_ID}, pump_id text not null references pump (entry_id),
        weir_id text not null references weir (entry_id), from_on text not null,
        usual_flow_m3_per_h real not null check (usual_flow_m3_per_h > 0),
        first_hour integer not null check (first_hour between 0 and 23),
        last_hour integer not null check (last_hour between 1 and 24 and last_hour > first_hour),
        sun_threshold_w_per_m2 real not null check (sun_threshold_w_per_m2 between 0 and 900),
        meter_digits integer not null check (meter_digits between 3 and 9),
        outlets_at_once integer not null check (outlets_at_once between 1 and 50),
        usual_day_m3 real check (usual_day_m3 > 0)`,
      outlet: `${OWN_ID}, number integer not null unique, name text not null,
        pump_id text not null references pump (entry_id)`,
      outlet_flow_test: `${OWN_ID}, outlet_id text not null references outlet (entry_id), tested_on text not null,
        flow_m3_per_h real not null check (flow_m3_per_h > 0)`,
      plot: `${OWN_ID}, number integer not null unique, name text not null`,
      plot_detail: `${OWN_ID}, plot_id text not null references plot (entry_id), from_on text not null,
        area_m2 real not null check (area_m2 > 0), soil text not null, method text not null,
        shares real not null check (shares >= 0)`,
      plot_outlet: `${ENTRY}, plot_id text not null references plot (entry_id),
        outlet_id text not null references outlet (entry_id), unique (entry_id, outlet_id)`,
      plot_holder: `${ENTRY}, plot_id text not null references plot (entry_id),
        person_id text not null references person (entry_id), from_on text not null, unique (entry_id, person_id)`,
    })
    await sql`create table session (
      key_hash text primary key, person_id text not null references person (entry_id),
      started_at text not null, expires_at text not null) strict`.execute(trx)
  })
}
