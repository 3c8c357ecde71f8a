import type { Kysely } from 'kysely'
import { createFactTables, ENTRY, OWN_ID } from './append-only.ts'

const PUMP = 'pump_id text not null references pump (entry_id)'
const MOMENT = `moment text not null check (moment in ('dawn', 'dusk'))`

/** The log in full: what goes with a draw, meters and tanks at dawn and dusk, tests, faults, and the closing of days and weeks. */
export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await createFactTables(trx, {
      draw_note: `${OWN_ID}, sky text check (sky in ('clear', 'half', 'dull')), stand_in text,
        slip_no integer check (slip_no > 0)`,
      draw_event: `${ENTRY}, event text not null check (event in ('late', 'cut', 'leak', 'breakdown')), unique (entry_id, event)`,
      draw_tool: `${OWN_ID}, container_litres real check (container_litres > 0), tank_area_m2 real check (tank_area_m2 > 0),
        tank_rise_m real, old_last_m3 real check (old_last_m3 >= 0), new_first_m3 real check (new_first_m3 >= 0), new_serial text`,
      bucket_timing: `${ENTRY}, place integer not null, seconds real not null check (seconds > 0), unique (entry_id, place)`,
      flow_test_note: `${OWN_ID}, container_litres real not null check (container_litres > 0),
        pump_state text not null check (pump_state in ('clear', 'half', 'dull')), remark text`,
      flag_settled: `${OWN_ID}, subject_id text not null references entry (id), code text not null, words text not null`,
      pump_day_reading: `${OWN_ID}, ${PUMP}, on_date text not null, at_time text not null, ${MOMENT},
        meter_m3 real not null check (meter_m3 >= 0), hour_meter_h real check (hour_meter_h >= 0), remark text`,
      tank: `${OWN_ID}, number integer not null, name text not null, ${PUMP},
        area_m2 real not null check (area_m2 > 0), height_m real not null check (height_m > 0)`,
      tank_reading: `${OWN_ID}, tank_id text not null references tank (entry_id), on_date text not null, at_time text not null,
        ${MOMENT}, level_m real not null check (level_m >= 0)`,
      slip_book: `${OWN_ID}, ${PUMP}, from_on text not null, first_no integer not null check (first_no > 0),
        last_no integer not null, check (last_no >= first_no)`,
      log_closing: `${OWN_ID}, span text not null check (span in ('day', 'week')), ${PUMP}, from_on text not null,
        to_on text not null, meter_m3 real check (meter_m3 >= 0), hour_meter_h real check (hour_meter_h >= 0),
        first_slip_no integer, last_slip_no integer, cash_minor integer check (cash_minor >= 0),
        cash_to_id text references person (entry_id), words text, found text not null, check (to_on >= from_on)`,
      fault: `${OWN_ID}, ${PUMP}, found_on text not null, what text not null,
        stops_pump integer not null check (stops_pump in (0, 1))`,
      fault_fix: `${OWN_ID}, fault_id text not null references fault (entry_id), fixed_on text not null, cause text not null,
        days_lost real not null check (days_lost >= 0), spares text, cost_minor integer check (cost_minor >= 0), voucher text`,
      pump_service: `${OWN_ID}, ${PUMP}, done_on text not null, hour_meter_h real not null check (hour_meter_h >= 0),
        next_after_h real not null check (next_after_h > 0), words text`,
      night_test: `${OWN_ID}, tank_id text not null references tank (entry_id), on_date text not null, remark text`,
      night_reading: `${ENTRY}, place integer not null, line text, start_level_m real not null, end_level_m real not null,
        hours real not null check (hours > 0), unique (entry_id, place)`,
    })
  })
}
