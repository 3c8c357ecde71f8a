import { sql } from 'kysely'
import { expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { isTwoNameAct } from '../../../server/book/names/acts.ts'
import { type Database, openDatabase } from '../../../server/database/connection.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { weekInputs } from '../../../server/rotation/draft/inputs.ts'
import { serialized } from '../../support/serialized.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'

/** Tables that are empty in the example, and the kind of the entry that their rows belong to. */
const PART_OF: Record<string, string> = {
  air_reading: 'weather-day',
  booking: 'turn-booking',
  crop_tranche: 'crop-plan',
  fault_place: 'fault',
  holder_part: 'holders',
  level_volume_row: 'level-volume-table',
  meeting_named: 'office-given',
  month_evaporation: 'month-table',
  moved_up_turn: 'turn-change',
  probed_point: 'probed-survey',
  reshared_turn: 'turn-change',
  sand_layer: 'weir-survey',
  turn_excuse: 'late-excuse',
  unmeasured: 'plot-detail',
}

/** Kinds of entries whose change moves a draft and that no second name is asked for, each with the reason. */
const REASONS: Record<string, string> = {
  person: 'a name alone gets no water; offices, land and households have lines of their own',
  roles: 'written while the book was new; afterwards an office is given by two',
  plot: 'told as a new plot, with what describes it',
  weir: 'gives nothing before it is described, and its description has a line',
  pump: 'gives nothing before it is described, and its description has a line',
  outlet: 'lays no turn before it is tested, and its test has a line',
  'rain-gauge': 'counts for nobody before a plot looks to it, which has a line, as its rain has',
  'published-week': 'is what stood on the last look itself',
  'turn-booking': 'takes free hours of an agreed week and is told in its log',
  'day-change': 'shares an agreed day anew and is read on that day',
  'tank-reading': 'the next reading, half a day later, takes its place; no more hangs on it than the tank holds',
}

/** Registers that are empty in the example and are read in one statement with others of their room; a draft takes nothing from them. */
const READ_BESIDE =
  `brought_ruling clock_mark counted_in group_calendar group_language group_measure ladder_step office_term
  own_words person_language short_day_rule warning warning_appeal warning_ruling withheld`.split(/\s+/)

class TakenBack extends Error {}

async function tablesMoving(db: Database, tables: readonly string[]) {
  const group = (await currentGroup(db))!
  const asked = { group, weekStartOn: '2026-11-30', today: VALLEY_TODAY }
  const draft = async (book: Database) =>
    JSON.stringify(await weekInputs(book, answers.rotation, asked).catch(() => null))
  const before = await draft(db)
  const found: { table: string; kinds: string[] }[] = []
  for (const table of tables) {
    const { rows } = await sql<{ kind: string }>`select distinct entry.kind as kind
      from ${sql.ref(table)} as fact join entry on entry.id = fact.entry_id`.execute(db)
    const kinds = rows.map(({ kind }) => kind)
    const work = db.transaction().execute(async (trx) => {
      await sql`delete from ${sql.ref(table)}`.execute(trx)
      if (kinds.length === 0 || (await draft(trx)) !== before) found.push({ table, kinds })
      throw new TakenBack()
    })
    await expect(work).rejects.toBeInstanceOf(TakenBack)
  }
  return found
}

it('whatever a draft is made of stands on the last look with its writer, holds only with two names, or has a reason', async () => {
  const told: string[] = []
  const valley = await openValley()
  const db = openDatabase(await serialized(valley.db), (statement) => told.push(statement))
  const group = (await currentGroup(db))!
  await weekInputs(db, answers.rotation, { group, weekStartOn: '2026-11-30', today: VALLEY_TODAY })
  const read = new Set(
    told.flatMap((one) => [...one.matchAll(/(?:from|join)\s+"?(\w+)"?/g)].map(([, table]) => table!)),
  )
  const facts = await sql<{ name: string }>`select master.name from sqlite_master as master
    join pragma_table_info(master.name) as field where field.name = 'entry_id' order by master.name`.execute(db)
  // On this copy rows can be taken away, to see whether the draft goes by them.
  const guards = await sql<{ name: string }>`select name from sqlite_master where type = 'trigger'`.execute(db)
  for (const { name } of guards.rows) await sql`drop trigger ${sql.ref(name)}`.execute(db)
  await sql`pragma foreign_keys = off`.execute(db)
  const names = facts.rows.map(({ name }) => name).filter((name) => read.has(name))
  expect(names.length).toBeGreaterThan(90)
  const moving = await tablesMoving(db, names)
  const open = moving
    .filter(({ table }) => !READ_BESIDE.includes(table))
    .flatMap(({ table, kinds }) => (kinds.length > 0 ? kinds : [PART_OF[table] ?? table.replaceAll('_', '-')]))
    .filter((kind) => !isTwoNameAct(kind))
  // Neither may the list of reasons hold what nothing hangs on.
  expect([...new Set(open)].toSorted()).toEqual(Object.keys(REASONS).toSorted())
  const empty = moving.filter(({ kinds }) => kinds.length === 0).map(({ table }) => table)
  expect([...READ_BESIDE, ...Object.keys(PART_OF)].filter((table) => !empty.includes(table))).toEqual([])
})
