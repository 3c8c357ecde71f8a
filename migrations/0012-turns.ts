import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

const SKY = `check (sky in ('clear', 'half', 'dull'))`

/** What the turns rest on besides water: mounts, skies, people's hours, lines, and the committee's own hand. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      pump_mount: `${OWN_ID}, pump_id text not null references pump (entry_id), from_on text not null,
        mount text not null check (mount in ('fixed', 'tracking', 'stuck'))`,
      week_sky: `${ENTRY}, week_start_on text not null, on_date text not null, sky text not null ${SKY},
        unique (entry_id, on_date)`,
      pump_day_sky: `${OWN_ID}, pump_id text not null references pump (entry_id), on_date text not null,
        sky text not null ${SKY}, whole_day integer not null check (whole_day in (0, 1))`,
      no_turn_hours: `${OWN_ID}, person_id text not null references person (entry_id), from_on text not null, until_on text,
        weekday integer check (weekday between 1 and 7), from_hour real not null check (from_hour >= 0),
        to_hour real not null check (to_hour <= 24), words text not null, check (from_hour < to_hour)`,
      line_position: `${OWN_ID}, plot_id text not null references plot (entry_id), from_on text not null,
        position integer not null check (position between 1 and 1000)`,
      outlet_filling: `${OWN_ID}, outlet_id text not null references outlet (entry_id), from_on text not null,
        minutes integer not null check (minutes between 0 and 240)`,
      outlet_pair: `${OWN_ID}, outlet_a_id text not null references outlet (entry_id),
        outlet_b_id text not null references outlet (entry_id), from_on text not null,
        together integer not null check (together in (0, 1)), check (outlet_a_id <> outlet_b_id)`,
      holder_group: `${ENTRY}, person_id text not null references person (entry_id), from_on text not null, name text`,
      turn_change: `${OWN_ID}, week_start_on text not null, stage text not null check (stage in ('draft', 'published')),
        kind text not null check (kind in ('move', 'lengthen', 'drop', 'add')), turn_id text,
        plot_id text not null references plot (entry_id), outlet_id text not null references outlet (entry_id),
        was_on text, on_date text, start_minute integer check (start_minute between 0 and 1439),
        volume_m3 real check (volume_m3 > 0)`,
    })
  })
}
