import { sql } from 'kysely'
import type pg from 'pg'
import { openDatabase } from '../connection.ts'
import { migrateToLatest } from '../migrate.ts'
import { inPostgres } from './ddl.ts'

/** What SQLite brings along and PostgreSQL does not, or calls otherwise, so that the stores ask both in the same words. */
const FUNCTIONS = [
  `create function append_only() returns trigger language plpgsql as $$
    begin raise exception using message = tg_table_name || ' is append-only'; end $$`,
  // Numbers of a sequence stay used when writing is taken back; the chain has no gap.
  `create function number_entry() returns trigger language plpgsql as $$
    begin
      if new.seq is null then new.seq := coalesce((select max(seq) from entry), 0) + 1; end if;
      return new;
    end $$`,
  `create function max(bigint, bigint) returns bigint immutable language sql as $$ select greatest($1, $2) $$`,
  `create function date(text, text) returns text immutable language sql as $$
    select to_char($1::date + $2::interval, 'YYYY-MM-DD') $$`,
  // '$.days[#-1]' is the last of a list; steps are parted by dots.
  `create function json_extract(text, text) returns text immutable language sql as $$
    select $1::jsonb #>> string_to_array(replace(replace(substr($2, 3), '[#', '.'), ']', ''), '.') $$`,
  `create function json_each(text) returns table (value text) immutable language sql as $$
    select jsonb_array_elements_text($1::jsonb) $$`,
  `create function json_each(text, text) returns table (value text) immutable language sql as $$
    select element::text from jsonb_array_elements(
      $1::jsonb #> string_to_array(substr($2, 3), '.')) as element $$`,
] as const

/** The first table needs this one before any other trigger of it. */
const NUMBERED_ENTRIES =
  'create trigger entry_numbered before insert on entry for each row execute function number_entry()'

let known: Promise<string[]> | undefined

/**
 * The statements that make a group's schema as all steps of `migrations/` would have left it: read from an empty book of SQLite
 * that has taken them, so that there is no second writing of it that could differ.
 */
function baseline(): Promise<string[]> {
  known ??= readBaseline()
  return known
}

async function readBaseline(): Promise<string[]> {
  const empty = openDatabase(':memory:')
  await migrateToLatest(empty)
  const { rows } = await sql<{ type: string; words: string }>`
    select type, sql as words from sqlite_schema where sql is not null and name not like 'sqlite\\_%' escape '\\'
    order by rowid`.execute(empty)
  const steps = await sql<{ name: string; timestamp: string }>`select name, timestamp from kysely_migration`.execute(
    empty,
  )
  await empty.destroy()
  const of = (type: string) => rows.filter((row) => row.type === type).map(({ words }) => inPostgres(words))
  const tables = of('table')
  return [
    ...tables.map(([table]) => table!),
    ...tables.flatMap(([, ...references]) => references),
    ...of('index').flat(),
    ...FUNCTIONS,
    NUMBERED_ENTRIES,
    ...of('trigger').flat(),
    ...steps.rows.map(({ name, timestamp }) => `insert into kysely_migration values ('${name}', '${timestamp}')`),
    "insert into kysely_migration_lock values ('migration_lock', 0)",
  ]
}

/** Makes the tables of a new group in one transaction; nothing where they are there already. */
export async function makeSchema(client: pg.Client, schema: string): Promise<void> {
  const { rows } = await client.query('select 1 from pg_tables where schemaname = $1', [schema])
  if (rows.length > 0) return
  const statements = await baseline()
  await client.query(['begin', `create schema if not exists ${schema}`, ...statements, 'commit'].join(';\n'))
}
