import { group } from 'd3-array'
import { factTables } from '../../book/merge/merge.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'
import type { Cell } from '../../web/figures/csv.ts'

/** Registers of water, crops, turns and works: open to every officer. */
const OPEN =
  `group_setting person_role weir weir_survey probed_survey probed_point sand_layer level_volume_table level_volume_row
  sand_loss chamber refill_test refill_reading level_reading water_user water_setting cover_term outlook_setting drought_stage
  drought_cap drought_declaration drought_lift stream_share stream_rest_day shut_mark stream_gauging gauging_time gauging_point
  inspection rain_record rain_record_year weather_day crop_plan pump pump_detail outlet outlet_flow_test plot plot_detail plot_outlet
  plot_holder received_before sharing_rule rule_mix rule_class rule_protected plot_household plan_class week_rule water_request
  no_turn_day published_week turn pump_mount week_sky pump_day_sky no_turn_hours line_position turn_length outlet_filling outlet_pair
  turn_change abstraction draw_note draw_event draw_tool bucket_timing flow_test_note flag_settled pump_day_reading tank
  tank_reading slip_book fault fault_fix pump_service night_test night_reading fault_place pump_meter meter_night_test meter_night_reading
  clash_settled tank_day draw_slip tank_outlet tank_use approval`.split(/\s+/)
/** Nobody carries away what guards the doors. */
const NEVER = ['credential']

export interface ListedTable {
  table: keyof FactTables
  /** False for whatever may show who owes what, or where a person lives; a new table counts as such until it is listed. */
  open: boolean
}

/** Every register of the book, read from the file itself so that none can be forgotten. */
export async function registers(db: Database): Promise<ListedTable[]> {
  const tables = (await factTables(db)).filter((table) => !NEVER.includes(table))
  return tables
    .map((table) => ({ table, open: OPEN.includes(table) }))
    .toSorted((a, b) => a.table.localeCompare(b.table))
}

const HEAD = ['seq', 'kind', 'happened_at', 'written_at', 'corrects_id', 'reason', 'paper_page', 'paper_row'] as const

/** All rows of one register with the heads of their entries, corrected ones too, in the order of writing. */
export async function registerRows(
  db: Database,
  table: keyof FactTables,
): Promise<{ columns: string[]; rows: Cell[][] }> {
  const own = (await db.introspection.getTables()).find(({ name }) => name === table)!.columns.map(({ name }) => name)
  const facts = (await db.selectFrom(table).selectAll().execute()) as unknown as Record<string, Cell>[]
  const entries = await db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entry_id', 'entry.written_by')
    .select([...HEAD.map((column) => `entry.${column}` as const), 'entry.id', 'writer.name as writer'])
    .orderBy('entry.seq')
    .execute()
  const factsOf = group(facts, (row) => String(row.entry_id))
  return {
    columns: [...own, ...HEAD.map((column) => `entry_${column}`), 'entry_writer'],
    rows: entries.flatMap((entry) => {
      const head = [...HEAD.map((column) => entry[column]), entry.writer]
      return (factsOf.get(entry.id) ?? []).map((row) => [...own.map((column) => row[column] ?? null), ...head])
    }),
  }
}
