import { sql } from 'kysely'
import { describe, expect, it } from 'vitest'
import { verifyBook } from '../../server/book/verify.ts'
import { startedBook } from '../support/book.ts'

describe('the append-only book', () => {
  it('refuses to change or delete a row of any table that hangs on an entry', async () => {
    const { db } = await startedBook()
    const tables = (await db.introspection.getTables()).filter(
      (table) => table.name === 'entry' || table.columns.some((column) => column.name === 'entry_id'),
    )
    expect(tables.length).toBeGreaterThan(25)
    const triggers = await sql<{ name: string }>`select name from sqlite_master where type = 'trigger'`.execute(db)
    const names = triggers.rows.map((row) => row.name)
    for (const { name } of tables)
      expect(names).toEqual(expect.arrayContaining([`${name}_no_update`, `${name}_no_delete`]))
    await expect(sql`update person set name = 'Somebody'`.execute(db)).rejects.toThrow('append-only')
    await expect(sql`delete from entry`.execute(db)).rejects.toThrow('append-only')
    await expect(sql`insert or replace into entry select * from entry`.execute(db)).rejects.toThrow('append-only')
  })

  it('finds a figure that was changed behind its back', async () => {
    const { db } = await startedBook()
    await sql`drop trigger group_setting_no_update`.execute(db)
    await sql`update group_setting set elevation_m = 990`.execute(db)
    expect((await verifyBook(db)).brokenAt?.kind).toBe('group-setting')
  })

  it('finds an entry that was taken out', async () => {
    const { db } = await startedBook()
    await sql`drop trigger entry_no_delete`.execute(db)
    await sql`drop trigger account_no_delete`.execute(db)
    await sql`delete from account where code = 'relief'`.execute(db)
    expect((await verifyBook(db)).brokenAt?.kind).toBe('account')
  })
})
