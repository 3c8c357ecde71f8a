import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

const WEIR = 'weir_id text not null references weir (entry_id)'

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      // The sand of a weir by lines of probe holes; the bed is its deepest probe.
      probed_survey: `${OWN_ID}, ${WEIR}, from_on text not null, crest_level_m real not null,
        off_take_above_bed_m real not null check (off_take_above_bed_m >= 0), mark_above_crest_m real not null,
        loss_cm_per_day real, tail_chainage_m real`,
      probed_point: `${ENTRY}, chainage_m real not null, offset_m real not null, sand_level_m real not null,
        bed_level_m real not null, check (bed_level_m <= sand_level_m), unique (entry_id, chainage_m, offset_m)`,
      sand_layer: `${ENTRY}, to_depth_m real check (to_depth_m > 0), sand_type text not null`,
      // A decision on a table: taken in place of the curve, or declined. It stands with a second name under it.
      level_volume_table: `${OWN_ID}, ${WEIR}, from_on text not null,
        survey_id text not null references entry (id),
        answer text not null check (answer in ('accept', 'decline')),
        grade text not null check (grade in ('guessed', 'probed', 'calibrated')), loss_cm_per_day real,
        words text not null, working text`,
      level_volume_row: `${ENTRY}, level_m real not null, low_m3 real not null check (low_m3 >= 0),
        likely_m3 real not null check (likely_m3 >= low_m3), high_m3 real not null check (high_m3 >= likely_m3),
        unique (entry_id, level_m)`,
      // What the group settled on for the fall without pumping.
      sand_loss: `${OWN_ID}, ${WEIR}, from_on text not null, loss_cm_per_day real not null, words text not null`,
      chamber: `${OWN_ID}, ${WEIR}, from_on text not null, area_m2 real not null check (area_m2 > 0),
        depth_m real not null check (depth_m > 0), rim_above_crest_m real not null,
        stop_below_rim_cm real not null check (stop_below_rim_cm > 0)`,
      refill_test: `${OWN_ID}, ${WEIR}, tested_on text not null, area_m2 real not null check (area_m2 > 0),
        rest_below_rim_cm real not null, remark text`,
      refill_reading: `${ENTRY}, minutes real not null check (minutes >= 0), below_rim_cm real not null,
        unique (entry_id, minutes)`,
    })
  })
}
