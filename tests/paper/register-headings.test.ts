import { parse } from 'csv-parse/sync'
import { sql } from 'kysely'
import { describe, expect, it } from 'vitest'
import { factTables } from '../../server/book/merge/whole-entry.ts'
import type { Database } from '../../server/database/connection.ts'
import { inCode, inFile } from '../../server/database/names.ts'
import { tablesOf } from '../../server/database/tables-of.ts'
import { registerRows } from '../../server/paper/whole-book/lists-store.ts'
import { chooseLanguage } from '../../server/people/language/store.ts'
import { columnHeading, entryHeading, isFlag } from '../../server/web/figures/columns.ts'
import { loadLocale } from '../../server/web/figures/locale.ts'
import { catalogueOf } from '../../server/web/words/catalogue.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'

/** What the catalogue holds beside the names of columns. */
const NO_COLUMN = /^columns\.(as\.|entry\.|(value|yes|no|about)$)/

describe('the headings of a register’s file', () => {
  it.each(['en', 'sw', 'pt'])(
    'are words in %s, for every column of every table, and never the same twice in a file',
    async (tag) => {
      const { db } = await openValley()
      const words = loadLocale(tag)
      const tables = await factTables(db)
      expect(tables.length).toBeGreaterThan(200)
      for (const table of tables) {
        const { own, ofEntry } = await registerRows(db, table)
        expect([table, own[0]]).toEqual([table, 'entryId'])
        const heads = [
          ...own.map((column) => columnHeading(words, table, column)),
          ...ofEntry.map((column) => entryHeading(words, column)),
        ]
        expect([table, heads.filter((head) => !/\p{L}{2}/u.test(head) || /_|[a-z][A-Z](?!a\b)/.test(head))]).toEqual([
          table,
          [],
        ])
        expect([table, heads.filter((head, at) => heads.indexOf(head) !== at)]).toEqual([table, []])
      }
    },
  )

  it('are kept for no column that is gone', async () => {
    const { db } = await openValley()
    const columns = (await tablesOf(db)).flatMap(({ name, columns }) =>
      columns.flatMap((column) => [`columns.${inCode(column.name)}`, `columns.${inCode(name)}.${inCode(column.name)}`]),
    )
    const kept = [...catalogueOf('en').messages.keys()].filter((key) => key.startsWith('columns.'))
    expect(kept.filter((key) => !NO_COLUMN.test(key) && !columns.includes(key))).toEqual([])
  })

  it('say of every column that holds only 0 and 1 which of them is yes', async () => {
    const { db } = await openValley()
    expect((await zeroOrOne(db)).filter((column) => !isFlag(column))).toEqual([])
  })

  it('stand over the right figures, in the language of whoever takes the file', async () => {
    const { db, signIn } = await openValley()
    const auditor = await signIn('goro')
    const heads = [
      'entry (id)',
      'weir (id)',
      'from day',
      'area, m²',
      'depth, m',
      'rim of the chamber above the top of the wall, m',
    ]
    const [chamber] = await db.selectFrom('chamber').selectAll().orderBy('entryId').execute()
    const read = async () => {
      const answer = await auditor.agent.get('/book/files/chamber.csv').buffer(true)
      return parse(answer.text, { bom: true, columns: true }) as Record<string, string>[]
    }
    const english = (await read()).find((row) => row['entry (id)'] === chamber!.entryId)!
    expect(Object.keys(english).slice(0, 6)).toEqual(heads)
    expect(english).toMatchObject({
      'weir (id)': chamber!.weirId,
      'from day': chamber!.fromOn,
      'depth, m': String(chamber!.depthM),
      'stop the pump when the water is below the rim, cm': String(chamber!.stopBelowRimCm),
    })
    expect(english['entry: written at, in UTC']).toMatch(/^20\d\d-\d\d-\d\dT.*Z$/)
    const page = (await auditor.open('/book/files')).words
    expect(page).toContain('Columns that begin with “entry:” tell')
    const { entryId } = await db
      .selectFrom('person')
      .selectAll()
      .where('signInName', '=', 'goro')
      .executeTakeFirstOrThrow()
    await db
      .transaction()
      .execute((trx) =>
        chooseLanguage(
          { trx, writtenBy: entryId, writtenAt: `${VALLEY_TODAY}T09:00:00.000Z` },
          { personId: entryId, fromOn: VALLEY_TODAY, language: 'sw', digits: null },
        ),
      )
    const swahili = (await read()).find((row) => row['ingizo (namba ya ndani)'] === chamber!.entryId)!
    expect(swahili['kina, m']).toBe(String(chamber!.depthM))
    expect(Object.values(swahili)).toEqual(Object.values(english))
  })
})

/** Columns whose table takes nothing but 0 and 1 in them, as its own definition says. */
async function zeroOrOne(db: Database): Promise<string[]> {
  const { rows } = await sql<{ sql: string }>`select sql from sqlite_master where type = 'table'`.execute(db)
  const found = rows.flatMap(({ sql: made }) =>
    [...made.matchAll(/(\w+)"? in \(0, ?1\)/g)].map(([, column]) => column!),
  )
  expect(found.map(inFile)).toContain('stops_pump')
  return found.map(inCode)
}
