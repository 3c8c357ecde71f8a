import { sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { clashesOf } from '../../server/book/merge/clashes.ts'
import { factTables, type WholeEntry } from '../../server/book/merge/whole-entry.ts'
import type { Rule } from '../../server/book/rules/clash-rows.ts'
import { CLASH_RULES } from '../../server/book/rules/clash-rules.ts'
import { inCode, inFile } from '../../server/database/names.ts'
import type { FactTables } from '../../server/database/schema.ts'
import { loadLocale } from '../../server/web/figures/locale.ts'
import { openEmpty } from '../support/book.ts'

type Table = keyof FactTables

/** Told by number and name, or with the figures of a reading, a draw or a sum of money. */
const TOLD_APART: Table[] = [
  ...(['person', 'pump', 'outlet', 'plot', 'weir', 'tank', 'pumpDayReading', 'tankReading'] as const),
  ...(['levelReading', 'weatherDay', 'transfer', 'abstraction'] as const),
]

/** Every column of every table that hangs on an entry, as the file has them. */
let columns: Map<Table, string[]>
beforeAll(async () => {
  const db = await openEmpty()
  columns = new Map()
  for (const table of await factTables(db)) {
    const info = await sql<{ name: string }>`select name from pragma_table_info(${inFile(table)})`.execute(db)
    columns.set(
      table,
      info.rows.map(({ name }) => inCode(name)),
    )
  }
  await db.destroy()
})

const ruled = Object.entries(CLASH_RULES).flatMap(([table, rules]) =>
  typeof rules === 'string' ? [] : rules.map((rule) => [table as Table, rule] as const),
)

describe('what two devices wrote', () => {
  it('has a rule for every table of the book, or a reason why two of its rows never clash', () => {
    expect(Object.keys(CLASH_RULES).toSorted()).toEqual([...columns.keys()].toSorted())
    for (const why of Object.values(CLASH_RULES)) if (typeof why === 'string') expect(why.length).toBeGreaterThan(20)
  })

  it('is told in words of its own, whatever it is, so that a person can choose', () => {
    const { has } = loadLocale('en')
    const wordless = ruled
      .map(([table]) => table)
      .filter((table) => !TOLD_APART.includes(table) && !has(`told.${table}`))
    expect(wordless).toEqual([])
  })

  it('is compared by columns that the table has', () => {
    const strange = ruled.flatMap(([table, { by }]) => by.filter((column) => !columns.get(table)!.includes(column)))
    expect(strange).toEqual([])
  })

  it.each(ruled)('clashes in %s by its rule, and not when the thing is another', (table, rule) => {
    const same = clashesOf(
      [entryOf('a', table, rowFor(rule, 1))],
      [entryOf('b', table, { ...rowFor(rule, 1), more: 2 })],
    )
    expect(same).toEqual([{ kind: rule.kind, entryIds: ['a', 'b'] }])
    for (const column of rule.by) {
      const other = { ...rowFor(rule, 1), [column]: 'another' }
      const found = clashesOf([entryOf('a', table, rowFor(rule, 1))], [entryOf('b', table, other)])
      expect(found.filter(({ kind }) => kind === rule.kind)).toEqual([])
    }
  })

  it('clashes where weeks of two rhythms share a day, and not where one begins when the other is over', () => {
    const week = (id: string, weekStartOn: string, lastDay: string) =>
      entryOf(id, 'publishedWeek', { weekStartOn, inputs: JSON.stringify({ days: [weekStartOn, lastDay] }) })
    const ownWeek = [week('a', '2026-06-08', '2026-06-14')]
    expect(clashesOf(ownWeek, [week('b', '2026-06-12', '2026-06-16')])).toHaveLength(1)
    expect(clashesOf(ownWeek, [week('b', '2026-06-14', '2026-06-18')])).toHaveLength(1)
    expect(clashesOf(ownWeek, [week('b', '2026-06-15', '2026-06-19')])).toEqual([])
    expect(clashesOf(ownWeek, [week('b', '2026-06-01', '2026-06-07')])).toEqual([])
  })
})

describe('of one outlet, one meter and one turn', () => {
  const kinds = (table: Table, one: object, other: object) =>
    clashesOf([entryOf('a', table, { ...one })], [entryOf('b', table, { ...other })]).map(({ kind }) => kind)
  const drawn = { outletId: 'o', pumpId: 'p', onDate: '2026-06-11', method: 'hours', openingM3: null, closingM3: null }
  const read = { ...drawn, outletId: null, method: 'meter' }

  it.each([
    ['of which one has no end', { startTime: '08:00', endTime: null }, ['same-outlet-same-time']],
    ['of which one has no start', { startTime: null, endTime: '05:00' }, ['same-outlet-same-time']],
    ['of which one begins as the other ends', { startTime: '07:00', endTime: '08:00' }, []],
    ['that share a minute', { startTime: '06:59', endTime: '08:00' }, ['same-outlet-same-time']],
  ])('two draws %s', (_, times, clash) => {
    const other = { ...drawn, startTime: '06:00', endTime: '07:00' }
    expect(kinds('abstraction', { ...drawn, ...times }, other)).toEqual(clash)
  })

  it('a reading at which nothing had run stands within no other draw', () => {
    const passed = { ...read, openingM3: 5, closingM3: 15 }
    expect(kinds('abstraction', { ...read, openingM3: 10, closingM3: 10 }, passed)).toEqual([])
    expect(kinds('abstraction', { ...read, openingM3: 10, closingM3: 11 }, passed)).toEqual(['same-meter-interval'])
  })

  it('that somebody came late, or in another’s place, says nothing against what else is told of the turn', () => {
    const told = (cause: string) => kinds('turnOutcome', { turnId: 't', cause }, { turnId: 't', cause: 'no-show' })
    expect(['late', 'stand-in', 'excused'].map(told)).toEqual([[], [], ['same-turn']])
  })
})

/** A row that every rule of its table looks at, with spans that meet. */
function rowFor(rule: Rule, more: number): Record<string, unknown> {
  const named = Object.fromEntries(rule.by.map((column) => [column, `this ${column}`]))
  const span = { startTime: '08:00', endTime: '09:00', startMinute: 480, endMinute: 540, openingM3: 10, closingM3: 12 }
  return {
    ...span,
    firstNo: 1,
    lastNo: 50,
    method: 'meter',
    kind: 'charge',
    stage: 'draft',
    way: 'written-off',
    weekStartOn: '2026-06-08',
    inputs: '{}',
    more,
    ...named,
  }
}

function entryOf(id: string, table: Table, row: Record<string, unknown>): WholeEntry {
  const at = '2026-06-11T14:00:00.000Z'
  const entry = { id, kind: table, happenedAt: at, writtenAt: at, correctsId: null, paperPage: null, paperRow: null }
  return { entry: entry as never, facts: [[table, { ...row, entryId: id }]] }
}
