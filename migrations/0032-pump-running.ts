import { type Kysely, sql } from 'kysely'

/**
 * Whether the pump ran while a level was read, and since when it stood, are two facts. Older lines have neither column filled:
 * there a pump that ran was written as one that stood since the moment of the reading.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table level_reading add column pump_running integer
    check (pump_running in (0, 1) and (pump_running = 0 or pump_off_since_at is null))`.execute(db)
}
