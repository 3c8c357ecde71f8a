import { type Kysely, sql } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      weather_day: `${OWN_ID}, on_date text not null, tmax_c real, tmin_c real, rain_mm real check (rain_mm >= 0),
        rh_max_pct real, rh_min_pct real, wind_m_per_s real, wind_height_m real check (wind_height_m > 0),
        sun_hours real, radiation_mj_m2 real`,
      crop_plan: `${OWN_ID}, plot_id text not null references plot (entry_id), crop_key text not null,
        area_m2 real not null check (area_m2 > 0), sown_on text not null`,
      crop_end: `${OWN_ID}, plan_id text not null references crop_plan (entry_id), ended_on text not null,
        outcome text not null check (outcome in ('harvested', 'lost'))`,
    })
    await sql`create index weather_day_by_date on weather_day (on_date)`.execute(trx)
  })
}
