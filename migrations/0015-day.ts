import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

const PUMP = 'pump_id text not null references pump (entry_id)'
const PLOT = 'plot_id text not null references plot (entry_id)'

/** The day as it came: what became of each turn, the day shared anew, lists that pause, wishes, bookings and swaps. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      turn_outcome: `${OWN_ID}, turn_id text not null references turn (id),
        cause text not null check (cause in ('excused', 'no-show', 'late', 'stand-in', 'breakdown', 'here')),
        stand_in_id text references person (entry_id), words text`,
      day_change: `${OWN_ID}, week_start_on text not null, on_date text not null, ${PUMP},
        kind text not null check (kind in ('half', 'dull', 'down')),
        from_minute integer not null check (from_minute between 0 and 1440),
        until_minute integer check (until_minute > from_minute)`,
      reshared_turn: `${OWN_ID}, day_change_id text not null references entry (id), turn_id text not null references turn (id),
        ${PLOT}, was_m3 real not null check (was_m3 > 0), now_m3 real not null check (now_m3 >= 0)`,
      day_sheet: `${OWN_ID}, on_date text not null, found text not null`,
      standing_request: `${OWN_ID}, ${PLOT}, from_on text not null, until_on text, volume_m3 real check (volume_m3 > 0)`,
      request_time: `${ENTRY}, kind text not null check (kind in ('wished', 'impossible')),
        weekday integer check (weekday between 1 and 7), from_hour real not null check (from_hour >= 0),
        to_hour real not null check (to_hour <= 24), check (from_hour < to_hour)`,
      request_urgent: `${OWN_ID}, words text not null`,
      urgent_quota: `${OWN_ID}, from_on text not null, per_month integer not null check (per_month between 0 and 31)`,
      turn_list: `${OWN_ID}, ${PUMP}, from_on text not null, per_day integer not null check (per_day between 1 and 50)`,
      turn_list_place: `${ENTRY}, place integer not null, ${PLOT}, unique (entry_id, place)`,
      turn_list_served: `${OWN_ID}, ${PUMP}, ${PLOT}, on_date text not null`,
      turn_list_pause: `${OWN_ID}, ${PUMP}, from_on text not null, until_on text,
        cause text not null check (cause in ('pump', 'funeral', 'rest', 'other')), words text`,
      booking: `${OWN_ID}, week_start_on text not null, turn_id text not null unique, ${PLOT},
        volume_m3 real not null check (volume_m3 > 0)`,
      turn_swap: `${OWN_ID}, week_start_on text not null, turn_id text not null references turn (id),
        other_turn_id text references turn (id), to_plot_id text not null references plot (entry_id),
        payer text not null check (payer in ('taker', 'holder'))`,
      swap_consent: `${OWN_ID}, swap_id text not null references entry (id), ${PLOT},
        person_id text not null references person (entry_id), unique (swap_id, plot_id)`,
    })
  })
}
