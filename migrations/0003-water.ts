import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      weir: `${OWN_ID}, number integer not null unique, name text not null, distance_m real not null`,
      weir_survey: `${OWN_ID}, weir_id text not null references weir (entry_id), from_on text not null,
        crest_level_m real not null, crest_height_m real not null check (crest_height_m > 0),
        crest_width_m real not null check (crest_width_m > 0), bed_slope real not null check (bed_slope > 0),
        valley_shape text not null check (valley_shape in ('rectangle', 'parabola', 'triangle')),
        sand_type text not null, off_take_above_bed_m real not null check (off_take_above_bed_m >= 0),
        mark_above_crest_m real not null, loss_cm_per_day real`,
      level_reading: `${OWN_ID}, weir_id text not null references weir (entry_id), on_date text not null,
        at_time text not null, depth_cm real not null, reader_id text references person (entry_id),
        pump_off_since_at text, flow_seen integer not null check (flow_seen in (0, 1)), remark text`,
      water_user: `entry_id text not null references entry (id), weir_id text not null references weir (entry_id),
        from_on text not null, kind text not null, heads integer not null check (heads >= 0),
        litres_per_head_day real not null check (litres_per_head_day >= 0), unique (entry_id, kind)`,
      water_setting: `${OWN_ID}, from_on text not null, late_rain_on text not null,
        wet_rain_mm real not null check (wet_rain_mm >= 0)`,
    })
  })
}
