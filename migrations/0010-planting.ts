import { type Kysely, sql } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

const PLOT = 'plot_id text not null references plot (entry_id)'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      // Hangs on the entry of a crop plan that was declared against the ceiling: with the first tranche or with the second.
      crop_tranche: `${OWN_ID}, tranche integer not null check (tranche in (1, 2))`,
      // The group's own crops, and printed ones with the group's own figures; one row a dated version.
      own_crop: `${OWN_ID}, crop_key text not null, from_on text not null, name text not null,
        kc_ini real not null check (kc_ini > 0), kc_mid real not null check (kc_mid > 0),
        kc_end real not null check (kc_end > 0), height_m real not null check (height_m > 0),
        ini_days integer not null, dev_days integer not null, mid_days integer not null, late_days integer not null,
        root_depth_m real not null check (root_depth_m > 0), depletion_fraction real not null,
        yield_response real, perennial integer not null check (perennial in (0, 1)), words text not null`,
      month_table: `${OWN_ID}, from_on text not null, words text not null`,
      month_evaporation: `${ENTRY}, month integer not null check (month between 1 and 12),
        eto_mm_per_day real not null check (eto_mm_per_day >= 0), unique (entry_id, month)`,
      rain_rule: `${OWN_ID}, from_on text not null, threshold_mm real not null check (threshold_mm >= 0),
        fraction real not null check (fraction between 0 and 1),
        missing_rain text not null check (missing_rain in ('cannot-say', 'counts-nothing'))`,
      rain_gauge: `${OWN_ID}, number integer not null, name text not null`,
      gauge_rain: `${OWN_ID}, gauge_id text not null references rain_gauge (entry_id), on_date text not null,
        rain_mm real not null check (rain_mm >= 0)`,
      // Null leads the plot back to the rain of the weather book.
      plot_gauge: `${OWN_ID}, ${PLOT}, from_on text not null, gauge_id text references rain_gauge (entry_id)`,
      plot_state: `${OWN_ID}, ${PLOT}, from_on text not null,
        state text not null check (state in ('sound', 'clogged', 'windy'))`,
      coefficient_rule: `${OWN_ID}, from_on text not null, by_climate integer not null check (by_climate in (0, 1)),
        wetting_days real check (wetting_days > 0), wetting_mm real check (wetting_mm > 0),
        wetted_part integer not null check (wetted_part in (0, 1)),
        check ((wetting_days is null) = (wetting_mm is null))`,
      taping: `${OWN_ID}, ${PLOT}, taped_on text not null, side_a_m real not null check (side_a_m > 0),
        side_b_m real not null check (side_b_m > 0), side_c_m real not null check (side_c_m > 0),
        side_d_m real not null check (side_d_m > 0), diagonal_m real check (diagonal_m > 0)`,
      second_look: `${OWN_ID}, season_start_on text not null, look_on text not null`,
    })
    await sql`create index gauge_rain_by_date on gauge_rain (gauge_id, on_date)`.execute(trx)
  })
}
