import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Database } from '../../../server/database/connection.ts'
import { openEmpty } from '../../support/book.ts'
import { GUARDED_CELLS } from './guarded-cells.ts'

type Row = Record<string, string | number | Buffer | null>

/** Cells of one row that have to fit each other: what fits, and what the file refuses. */
const FITTING: [table: string, fits: Row, refused: Row][] = [
  ['account', { code: 'cash', person_id: null }, { code: 'member', person_id: null }],
  ['coefficient_rule', { wetting_days: 3, wetting_mm: 20 }, { wetting_days: 3, wetting_mm: null }],
  ['count_decision', { way: 'explained', minute: null }, { way: 'minuted', minute: null }],
  ['count_decision', { way: 'written-off', minute: '4' }, { way: 'written-off', minute: null }],
  ['day_change', { from_minute: 60, until_minute: 61 }, { from_minute: 60, until_minute: 60 }],
  ['day_given', { given_m3: 1, expected_m3: 2 }, { given_m3: 2, expected_m3: 2 }],
  ['drought_stage', { below_level_m: 1, below_cover_days: null }, { below_level_m: 1, below_cover_days: 9 }],
  ['group_setting', { currency: 'KES' }, { currency: 'KE' }],
  [
    'group_setting',
    { season_start_on: '2026-04-01', season_end_on: '2026-11-01' },
    { season_start_on: '2026-04-01', season_end_on: '2026-04-01' },
  ],
  ['level_reading', { pump_running: 1, pump_off_since_at: null }, { pump_running: 1, pump_off_since_at: '07:00' }],
  ['level_volume_row', { low_m3: 1, likely_m3: 1, high_m3: 1 }, { low_m3: 2, likely_m3: 1, high_m3: 3 }],
  ['level_volume_row', { low_m3: 1, likely_m3: 2, high_m3: 2 }, { low_m3: 1, likely_m3: 2, high_m3: 1.9 }],
  ['entry', { corrects_id: null, reason: null }, { corrects_id: 'a', reason: null }],
  ['log_closing', { from_on: '2026-05-02', to_on: '2026-05-02' }, { from_on: '2026-05-02', to_on: '2026-05-01' }],
  [
    'missed_hearing',
    { heard_on: '2026-05-02', appeal_until: '2026-05-02' },
    { heard_on: '2026-05-02', appeal_until: '2026-05-01' },
  ],
  ['person_mark', { picture: 'pot', frame: 'bare' }, { picture: null, frame: 'bare' }],
  ['no_turn_custom', { from_hour: 23, to_hour: 24 }, { from_hour: 23, to_hour: 25 }],
  ['no_turn_custom', { from_hour: 7, to_hour: 8 }, { from_hour: 8, to_hour: 8 }],
  ['no_turn_hours', { from_hour: 23, to_hour: 24 }, { from_hour: 23, to_hour: 25 }],
  ['no_turn_hours', { from_hour: 7, to_hour: 8 }, { from_hour: 8, to_hour: 8 }],
  ['outlet_pair', { outlet_a_id: 'a', outlet_b_id: 'b' }, { outlet_a_id: 'a', outlet_b_id: 'a' }],
  ['period_closing', { from_on: '2026-05-02', to_on: '2026-05-02' }, { from_on: '2026-05-02', to_on: '2026-05-01' }],
  ['probed_point', { bed_level_m: 1, sand_level_m: 1 }, { bed_level_m: 1.1, sand_level_m: 1 }],
  ['pump_detail', { first_hour: 23, last_hour: 24 }, { first_hour: 23, last_hour: 25 }],
  ['pump_detail', { first_hour: 7, last_hour: 8 }, { first_hour: 8, last_hour: 8 }],
  ['receipt_book', { first_number: 5, last_number: 5 }, { first_number: 5, last_number: 4 }],
  ['request_time', { from_hour: 23, to_hour: 24 }, { from_hour: 23, to_hour: 25 }],
  ['request_time', { from_hour: 7, to_hour: 8 }, { from_hour: 8, to_hour: 8 }],
  ['reserve_move', { from_column: 'cash', to_column: 'reserve' }, { from_column: 'cash', to_column: 'bank' }],
  ['reserve_move', { from_column: 'reserve', to_column: 'bank' }, { from_column: 'reserve', to_column: 'reserve' }],
  [
    'rule_mix',
    { equal_weight: 1, area_weight: 0, share_weight: 0, persons_weight: 0, need_weight: 0 },
    { equal_weight: 0, area_weight: 0, share_weight: 0, persons_weight: 0, need_weight: 0 },
  ],
  ['slip_book', { first_no: 5, last_no: 5 }, { first_no: 5, last_no: 4 }],
  ['tank_use', { from_hour: 1, to_hour: 2 }, { from_hour: 1, to_hour: null }],
  ['transfer', { debit_account_id: 'a', credit_account_id: 'b' }, { debit_account_id: 'a', credit_account_id: 'a' }],
  ['transfer', { receipt_book: 'A', receipt_number: 3 }, { receipt_book: 'A', receipt_number: null }],
  ['arrears_move', { tenant_id: 'a', owner_id: 'b' }, { tenant_id: 'a', owner_id: 'a' }],
  ['handover', { giver_id: 'a', taker_id: 'b' }, { giver_id: 'a', taker_id: 'a' }],
  ['conduct_rule', { fine_minor: null, fine_percent: null }, { fine_minor: 1, fine_percent: 1 }],
  ['warning', { heard_on: '2026-05-02', lapse_on: '2026-05-03' }, { heard_on: '2026-05-02', lapse_on: '2026-05-02' }],
  ['turn', { start_minute: 60, end_minute: 61 }, { start_minute: 60, end_minute: 60 }],
  ['turn_length', { shortest_minutes: 9, longest_minutes: 9 }, { shortest_minutes: 9, longest_minutes: 8 }],
]

/** Columns that no two rows share. An entry's own table has `entry_id` besides. */
const ONCE = `account(code) account(person_id) booking(turn_id) bucket_timing(entry_id,place) draw_event(entry_id,event) drought_cap(entry_id,use)
  fixed_fee(account_id,kind,every,due_on) holder_mark(entry_id,person_id) holder_part(entry_id,person_id)
  level_volume_row(entry_id,level_m) lives_together(entry_id,person_id)
  meeting_named(entry_id,person_id)
  meter_night_reading(entry_id,place)
  money_statement_line(entry_id,place) month_evaporation(entry_id,month) month_name(entry_id,month) night_reading(entry_id,place) outlet(number) person(number)
  person(sign_in_name) person_role(entry_id,role) plot(number) plot_holder(entry_id,person_id) plot_outlet(entry_id,outlet_id)
  probed_point(entry_id,chainage_m,offset_m) published_week(week_start_on) pump(number) rain_record_year(entry_id,year)
  rests_on(entry_id)
  refill_reading(entry_id,minutes) rule_class(entry_id,class) rule_mix(entry_id,weir_id) rule_protected(entry_id,plot_id)
  stream_rest_day(entry_id,weekday) swap_consent(swap_id,plot_id) swapped_turn(turn_id) transfer(receipt_book,receipt_number)
  transfer_cause(cause_id) turn(id) turn_list_place(entry_id,place) voucher(number) water_user(entry_id,kind) week_sky(entry_id,on_date)
  weir(number)`

interface Column {
  table: string
  name: string
  kind: 'integer' | 'real' | 'text'
  notNull: number
  pk: number
}

let db: Database
let columns: Column[]
let facts: string[]
beforeAll(async () => {
  db = await openEmpty()
  const found = await sql<Column>`
    select m.name as "table", c.name, lower(c.type) as kind, c."notnull" as not_null, c.pk
    from sqlite_schema m join pragma_table_info(m.name) c where m.type = 'table'`.execute(db)
  facts = [...new Set(found.rows.filter(({ name }) => name === 'entry_id').map(({ table }) => table))]
  columns = found.rows
})
afterAll(() => db.destroy())

/** The rows go in one after the other without the other tables; gives what the last was refused with, or null, and takes all back. */
async function refusalOf(table: string, rows: Row[], { alone = true } = {}): Promise<string | null> {
  await sql.raw(`pragma foreign_keys = ${alone ? 'off' : 'on'}`).execute(db)
  let refusal: string | null = null
  const undone = new Error('taken back')
  await db
    .transaction()
    .execute(async (trx) => {
      for (const [at, row] of rows.entries()) {
        const names = Object.keys(row).map((name) => sql.ref(name))
        const values = Object.values(row)
        const insert = sql`insert into ${sql.table(table)} (${sql.join(names)}) values (${sql.join(values)})`
        await insert.execute(trx).catch((error) => {
          if (at < rows.length - 1) throw error
          refusal = error.message
        })
      }
      throw undone
    })
    .catch((error) => {
      if (error !== undone) throw error
    })
  return refusal
}

/** A row that the file takes: guarded cells hold the first value that they take, others something of their kind or nothing. */
function goodRow(table: string, cells: Row = {}): Row {
  const plain = { integer: 7, real: 2.5, text: 'word', blob: Buffer.from('bytes') }
  const row: Row = {}
  for (const { name, kind, notNull, pk } of columns.filter((column) => column.table === table)) {
    const good = GUARDED_CELLS[`${table}.${name}`]?.[0][0]
    row[name] = notNull || pk ? (good ?? plain[kind]) : null
  }
  const fitting = FITTING.filter(([of]) => of === table).map(([, fits]) => fits)
  return Object.assign(row, ...fitting, cells)
}

describe('the file itself, whatever the program does,', () => {
  it('takes the first and the last value of every guarded cell and refuses those beside them', async () => {
    const wrong: string[] = []
    for (const [cell, [good, bad]] of Object.entries(GUARDED_CELLS)) {
      const [table, column] = cell.split('.') as [string, string]
      const refusal = (value: string | number) => refusalOf(table, [goodRow(table, fitted(table, column, value))])
      for (const value of good) if ((await refusal(value)) !== null) wrong.push(`${cell} does not take ${value}`)
      for (const value of bad) if (!/^CHECK/.test((await refusal(value)) ?? '')) wrong.push(`${cell} takes ${value}`)
    }
    expect(wrong).toEqual([])
  })

  it('refuses cells of one row that do not fit each other', async () => {
    const wrong: string[] = []
    for (const [table, fits, refused] of FITTING) {
      if ((await refusalOf(table, [goodRow(table, fits)])) !== null) wrong.push(`${table} ${JSON.stringify(fits)}`)
      const refusal = await refusalOf(table, [goodRow(table, refused)])
      if (!/^CHECK/.test(refusal ?? '')) wrong.push(`${table} takes ${JSON.stringify(refused)}`)
    }
    expect(wrong).toEqual([])
  })

  it('takes what may stand once no second time', async () => {
    const wrong: string[] = []
    for (const once of ONCE.split(/\s+/)) {
      const [table, names] = once.slice(0, -1).split('(') as [string, string]
      const same: Row = Object.fromEntries(names.split(',').map((name) => [name, goodCell(table, name)]))
      if (names === 'person_id' && table === 'account') same.code = 'member'
      const other: Row = names.includes('entry_id') ? {} : { entry_id: 'other' }
      const refusal = await refusalOf(table, [goodRow(table, same), goodRow(table, { ...same, ...other })])
      if (!/UNIQUE|given already/.test(refusal ?? '')) wrong.push(`${once}: ${refusal}`)
    }
    expect(wrong).toEqual([])
  })

  it('takes no fact without its entry, no word for a figure, and nothing empty where something has to stand', async () => {
    const wrong: string[] = []
    for (const table of facts) {
      const row = goodRow(table)
      if (!/FOREIGN KEY/.test((await refusalOf(table, [row], { alone: false })) ?? ''))
        wrong.push(`${table} hangs on nothing`)
      for (const { name, kind, notNull } of columns.filter((column) => column.table === table)) {
        const refusal = async (cell: string | null) => (await refusalOf(table, [{ ...row, [name]: cell }])) ?? ''
        if (kind !== 'text' && !/cannot store TEXT/.test(await refusal('word')))
          wrong.push(`${table}.${name} takes a word`)
        if (notNull && !/NOT NULL/.test(await refusal(null))) wrong.push(`${table}.${name} takes nothing`)
      }
    }
    expect(wrong).toEqual([])
  })

  it('changes and deletes no row, nor puts another in its place', async () => {
    const wrong: string[] = []
    await sql.raw('pragma foreign_keys = off').execute(db)
    for (const table of ['entry', ...facts]) {
      const row = goodRow(table, table === 'entry' ? { corrects_id: null, hash_version: 2 } : {})
      const names = sql.join(Object.keys(row).map((name) => sql.ref(name)))
      await sql`insert into ${sql.table(table)} (${names}) values (${sql.join(Object.values(row))})`.execute(db)
      const first = sql.ref(Object.keys(row)[0]!)
      for (const attack of [
        sql`update ${sql.table(table)} set ${first} = ${first}`,
        sql`delete from ${sql.table(table)}`,
        sql`replace into ${sql.table(table)} (rowid, ${names}) values (1, ${sql.join(Object.values(row))})`,
      ]) {
        const refusal = await attack.execute(db).then(
          () => 'nothing',
          (error) => error.message,
        )
        if (!/append-only|given already/.test(refusal)) wrong.push(`${table}: ${refusal}`)
      }
    }
    expect(wrong).toEqual([])
  })

  it('has no guard that is not written down here', async () => {
    const made = await sql<{ name: string; sql: string }>`
      select name, sql from sqlite_schema where type = 'table' and sql is not null`.execute(db)
    for (const table of made.rows) {
      const guards = table.sql.match(/\bcheck ?\(/gi)?.length ?? 0
      const cells = Object.keys(GUARDED_CELLS).filter((cell) => cell.startsWith(`${table.name}.`)).length
      const rows = FITTING.filter(([name]) => name === table.name).length
      expect({ table: table.name, unwritten: Math.max(0, guards - cells - rows) }).toEqual({
        table: table.name,
        unwritten: 0,
      })
    }
  })
})

/** The value with what it needs beside it, where cells of one row have to fit each other. */
function fitted(table: string, column: string, value: string | number): Row {
  const toReserve = column === 'to_column' && value === 'reserve'
  const beside: Record<string, Row> = {
    'day_change.from_minute': { until_minute: 1441 },
    'drought_stage.below_cover_days': { below_level_m: null },
    'person_mark.frame': { picture: 'pot' },
    'pump_detail.first_hour': { last_hour: 24 },
    'pump_detail.last_hour': { first_hour: 0 },
    'reserve_move.from_column': { to_column: value === 'reserve' ? 'bank' : 'reserve' },
    'reserve_move.to_column': { from_column: toReserve ? 'bank' : 'reserve' },
    'rule_mix.equal_weight': { area_weight: 1 },
  }
  return { ...beside[`${table}.${column}`], [column]: value }
}

function goodCell(table: string, name: string): string | number | Buffer {
  const { kind } = columns.find((column) => column.table === table && column.name === name)!
  return (
    GUARDED_CELLS[`${table}.${name}`]?.[0][0] ??
    { integer: 7, real: 2.5, text: 'word', blob: Buffer.from('bytes') }[kind]
  )
}
