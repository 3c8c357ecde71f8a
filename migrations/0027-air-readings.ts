import type { Kysely } from 'kysely'
import { createFactTables, OWN_ID } from './append-only.ts'

/** How moist the air was on a day of weather, and what the group settled for reckoning the demand of the air. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      // Hangs on the entry of a weather day on which one of these was read.
      air_reading: `${OWN_ID}, dry_bulb_c real, wet_bulb_c real,
        psychrometer text check (psychrometer in ('whirled', 'hung', 'indoors')),
        dew_point_c real, vapour_pressure_kpa real check (vapour_pressure_kpa >= 0)`,
      demand_rule: `${OWN_ID}, from_on text not null, dry_air_c real not null check (dry_air_c between 0 and 5),
        hargreaves_factor real check (hargreaves_factor between 0.5 and 1.6)`,
    })
  })
}
