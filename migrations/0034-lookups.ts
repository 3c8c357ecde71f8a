import { type Kysely, sql } from 'kysely'

/** What grows with every week is found by what it is about, not by looking through all of it. */
const LOOKUPS = [
  ['abstraction', 'turn_id'],
  ['abstraction', 'plot_id'],
  ['abstraction', 'pump_id'],
  ['turn', 'plot_id'],
  ['turn', 'id'],
  ['turn_change', 'turn_id'],
  ['turn_outcome', 'turn_id'],
  ['turn_swap', 'week_start_on'],
  ['booking', 'week_start_on'],
  ['water_request', 'week_start_on'],
  ['reshared_turn', 'turn_id'],
  ['level_reading', 'weir_id'],
  ['approval', 'subject_id'],
  ['flag_settled', 'subject_id'],
  ['draw_slip', 'subject_id'],
  ['transfer', 'settles_id'],
  ['day_change', 'on_date'],
] as const

export async function up(db: Kysely<any>): Promise<void> {
  for (const [table, column] of LOOKUPS)
    await sql.raw(`create index if not exists ${table}_by_${column} on ${table} (${column})`).execute(db)
}
