import { type Kysely, sql } from 'kysely'

/** Registers that grow with every day, found by day; draws by how they were measured. */
const LOOKUPS = [
  ['abstraction', 'method, on_date'],
  ['level_reading', 'on_date'],
  ['pump_day_reading', 'on_date'],
  ['tank_reading', 'on_date'],
  ['tank_day', 'on_date'],
  ['published_week', 'week_start_on, entry_id'],
] as const

export async function up(db: Kysely<any>): Promise<void> {
  await db.transaction().execute(async (trx) => {
    for (const [table, columns] of LOOKUPS) {
      const name = columns.replaceAll(', ', '_and_')
      await sql.raw(`create index if not exists ${table}_by_${name} on ${table} (${columns})`).execute(trx)
    }
    // Few lines of a book carry the page of a paper, a slip's number or a correction.
    await sql`create index entry_by_paper on entry (paper_page) where paper_page is not null`.execute(trx)
    await sql`create index draw_note_by_slip on draw_note (slip_no) where slip_no is not null`.execute(trx)
    await sql`create index pump_day_reading_by_hours on pump_day_reading (on_date) where hour_meter_h is not null`.execute(
      trx,
    )
    await sql`drop index entry_by_correction`.execute(trx)
    await sql`create index entry_by_correction on entry (corrects_id) where corrects_id is not null`.execute(trx)
  })
}
