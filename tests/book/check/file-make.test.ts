import { type RawBuilder, sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { inspectBook } from '../../../server/book/check/inspect.ts'
import { type Database, openDatabase } from '../../../server/database/connection.ts'
import { loadLocale } from '../../../server/web/figures/locale.ts'
import { serialized } from '../../support/serialized.ts'
import { openValley } from '../../support/valley.ts'

let bytes: Buffer
beforeAll(async () => {
  const { db } = await openValley()
  bytes = await serialized(db)
})

/** Writes past every guard of the file, as somebody with a tool of their own does. */
async function changed(db: Database, ...steps: RawBuilder<unknown>[]): Promise<void> {
  await sql`pragma foreign_keys = off`.execute(db)
  await sql`pragma ignore_check_constraints = on`.execute(db)
  for (const step of steps) await step.execute(db)
}

/** The words that made a thing are taken, the thing is dropped, the change is done, and it is made again as it was. */
async function withoutGuard(db: Database, guard: string, change: RawBuilder<unknown>): Promise<void> {
  const { rows } = await sql<{ words: string }>`select sql as words from sqlite_schema where name = ${guard}`.execute(
    db,
  )
  await changed(db, sql`drop trigger ${sql.ref(guard)}`, change, sql.raw(rows[0]!.words))
}

const KINDS: [name: string, code: string, tamper: (db: Database) => Promise<unknown>][] = [
  ['a guard taken away', 'made-away', (db) => changed(db, sql`drop trigger transfer_no_update`)],
  [
    'a guard that does nothing any more',
    'made-otherwise',
    (db) =>
      changed(
        db,
        sql`drop trigger transfer_no_update`,
        sql`create trigger transfer_no_update before update on transfer begin select 1; end`,
      ),
  ],
  [
    'a trigger of somebody else',
    'made-besides',
    (db) => changed(db, sql`create trigger mine after insert on entry begin delete from session; end`),
  ],
  ['a view', 'made-besides', (db) => changed(db, sql`create view fees as select * from transfer`)],
  [
    'an index that lets nothing more in',
    'made-besides',
    (db) => changed(db, sql`create unique index once on entry (previous_hash)`),
  ],
  ['an index taken away', 'made-away', (db) => changed(db, sql`drop index entry_by_kind`)],
  [
    'a number that the next entry skips to',
    'numbering',
    (db) => changed(db, sql`update sqlite_sequence set seq = 90000`),
  ],
  ['the mark of a joining', 'joining', (db) => changed(db, sql`insert into joining values (1)`)],
  [
    'a step that was never taken',
    'newer',
    (db) => changed(db, sql`insert into kysely_migration values ('9000-next', '2026')`),
  ],
  [
    'a step struck off the list',
    'steps',
    (db) => changed(db, sql`delete from kysely_migration where name = '0020-reserve'`),
  ],
  ['an entry cut out', 'chain', (db) => withoutGuard(db, 'entry_no_delete', sql`delete from entry where seq = 900`)],
  [
    'a name of what is not there',
    'dangling',
    (db) =>
      changed(
        db,
        sql`insert into session (key_hash, person_id, started_at, expires_at) values ('k', 'nobody', '2026', '2027')`,
      ),
  ],
  [
    'a charge that is not its lines',
    'identity',
    (db) =>
      withoutGuard(
        db,
        'charge_line_no_update',
        sql`update charge_line set amount_minor = amount_minor + 5 where rowid = 3`,
      ),
  ],
  [
    'a draw that is not its readings',
    'identity',
    (db) =>
      withoutGuard(
        db,
        'abstraction_no_update',
        sql`update abstraction set volume_m3 = volume_m3 + 1 where method = 'meter' and grade = 'measured'`,
      ),
  ],
]

describe('a file that was changed behind the app', () => {
  it('is told from one that was not', async () => {
    const db = openDatabase(bytes)
    expect((await inspectBook(db)).faults).toEqual([])
    await db.destroy()
  })

  it.each(KINDS)('%s is found and told in a sentence', async (_, code, tamper) => {
    const db = openDatabase(bytes)
    await tamper(db)
    const { faults } = await inspectBook(db)
    expect(faults.map((fault) => fault.code)).toContain(code)
    const { t } = loadLocale('en')
    for (const fault of faults) expect(t(`file.fault.${fault.code}`, fault.values)).not.toMatch(/undefined|\{/)
    await db.destroy()
  })
})
