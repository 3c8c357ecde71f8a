import { type Kysely, sql } from 'kysely'

/** Numbers that both devices of a group may have given while they were apart. */
const GIVEN_ONCE: Record<string, string[][]> = {
  person: [['number'], ['sign_in_name']],
  pump: [['number']],
  outlet: [['number']],
  plot: [['number']],
  weir: [['number']],
  voucher: [['number']],
  transfer_cause: [['cause_id']],
  transfer: [['receipt_book', 'receipt_number']],
}

/**
 * A number is still given once, but where two books are joined every entry is kept and a person settles the clash. So the
 * tables lose their unique columns, and a trigger refuses a second one except while books are being joined.
 */
export async function up(db: Kysely<any>): Promise<void> {
  // A table that others refer to can be made anew only while nobody checks them; the pragma holds outside a transaction only.
  await sql`pragma foreign_keys = off`.execute(db)
  try {
    await db.transaction().execute(async (trx) => {
      await sql`create table joining (begun integer primary key) strict`.execute(trx)
      await sql`drop index transfer_by_receipt`.execute(trx)
      for (const [table, keys] of Object.entries(GIVEN_ONCE)) {
        await withoutUnique(trx, table, keys)
        for (const columns of keys) await refuseSecond(trx, table, columns)
      }
      const broken = await sql`pragma foreign_key_check`.execute(trx)
      if (broken.rows.length > 0) throw new Error('a table that was made anew lost what others refer to')
    })
  } finally {
    await sql`pragma foreign_keys = on`.execute(db)
  }
}

/** Makes a table anew from its own words but for the unique columns, with its rows, indexes and triggers. */
async function withoutUnique(db: Kysely<any>, table: string, keys: string[][]): Promise<void> {
  const kept = await sql<{ type: string; sql: string | null }>`
    select type, sql from sqlite_master where tbl_name = ${table}`.execute(db)
  const words = kept.rows.find(({ type }) => type === 'table')!.sql!
  const anew = keys.flat().reduce((text, column) => text.replace(uniqueColumn(column), '$1'), words)
  if (anew === words) return
  await sql.raw(anew.replace(/^create table "?\w+"?/i, `create table ${table}_anew`)).execute(db)
  await sql.raw(`insert into ${table}_anew select * from ${table}`).execute(db)
  await sql.raw(`drop table ${table}`).execute(db)
  await sql.raw(`alter table ${table}_anew rename to ${table}`).execute(db)
  for (const { type, sql: text } of kept.rows) if (type !== 'table' && text) await sql.raw(text).execute(db)
}

function uniqueColumn(column: string): RegExp {
  return new RegExp(`(\\b${column} (?:integer|text)(?: not null)?) unique`, 'i')
}

async function refuseSecond(db: Kysely<any>, table: string, columns: string[]): Promise<void> {
  const name = `${table}_${columns.join('_')}`
  const same = columns.map((column) => `${column} = new.${column}`).join(' and ')
  await sql.raw(`create index ${name}_given on ${table} (${columns.join(', ')})`).execute(db)
  await sql
    .raw(
      `create trigger ${name}_once before insert on ${table}
       when not exists (select 1 from joining) and exists (select 1 from ${table} where ${same})
       begin select raise(abort, 'given already: ${table}.${columns.join('+')}'); end`,
    )
    .execute(db)
}
