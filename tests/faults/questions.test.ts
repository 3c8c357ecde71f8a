import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { sql } from 'kysely'
import type { HTMLElement } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ROLES } from '../../domain/people/permissions.ts'
import { openDatabase } from '../../server/database/connection.ts'
import { setRoles } from '../../server/people/person/store.ts'
import { newest, OWN_GROUP, openBook, startedBook } from '../support/book.ts'
import { serialized } from '../support/serialized.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { Rascal } from './nasty.ts'
import { temporaryFolder } from './process.ts'

/** Pages that are asked something by a form whose answers stand in the address; the first plot stands for `plot`. */
const PAGES = [
  ...['/money/cash-book', '/money/price/reckon', '/money/charges', '/turns/fair?as=line', '/turns/plots/plot'],
  ...['/crops/planting', '/people/voice', '/people/languages/sw'],
]
const NASTY = ['', '-1', 'many', '1e309', '2026-02-30', '0000-00-00', '99:99', '<script>alert(1)</script>', '__proto__']

let rascal: Rascal
let plotId: string

beforeAll(async () => {
  const { app, db } = await openValley()
  const person = db.selectFrom('person').select('entryId').where('signInName', '=', 'amaru')
  const { entryId } = await person.executeTakeFirstOrThrow()
  const pen = { writtenBy: entryId, writtenAt: `${VALLEY_TODAY}T09:00:00.000Z` }
  await db.transaction().execute((trx) => setRoles({ trx, ...pen }, entryId, ROLES, VALLEY_TODAY))
  plotId = (await db.selectFrom('plot').select('entryId').orderBy('number').executeTakeFirstOrThrow()).entryId
  rascal = new Rascal(app)
  await rascal.signIn('amaru')
})

it.each(PAGES)('%s asked for nonsense answers with words, and shows no figure that is none', async (page) => {
  const path = page.replace(/plot$/, plotId)
  const forms = (await rascal.open(path)).html.querySelectorAll('main form[method="get"]')
  expect(forms.length).toBeGreaterThan(0)
  const faults: string[] = []
  for (const form of forms) {
    for (const query of nonsense(namesIn(form))) {
      const to = `${(form.getAttribute('action') ?? path).split(/[?#]/)[0]}?${query}${way(path)}`
      const { status, html, text } = await rascal.open(to)
      const words = html.querySelector('main')?.textContent.replace(/\s+/g, ' ') ?? ''
      const isOdd = /\bundefined\b|\bNaN\b|\[object|Infinity/.test(words) || text.includes('<script>alert')
      if (status >= 500 || isOdd) faults.push(`${status} ${to} ${words.slice(0, 120)}`)
    }
  }
  expect(faults).toEqual([])
})

it.each([
  ['person', '/people'],
  ['fault', '/log/faults'],
])('where the table %s cannot be read any more, %s gives a reference and nothing of the fault', async (table, path) => {
  const { ada, db } = await startedBook()
  await sql`alter table ${sql.ref(table)} rename to lost`.execute(db)
  const { status, words } = await ada.open(path)
  expect([status, words]).toEqual([500, expect.stringMatching(/Something went wrong.*this reference: [\w-]+\./)])
  expect(words).not.toMatch(/table|lost|SQL/)
})

it('what was typed into a form that breaks stands on the page that says so', async () => {
  const { ada, db } = await startedBook()
  const page = await ada.open('/people/new')
  await sql`alter table account rename to lost`.execute(db)
  const { status, words } = await ada.send(page, { number: '9', name: 'Typed in vain', phone: '0700', roles: 'member' })
  expect([status, words]).toEqual([500, expect.stringMatching(/Something went wrong.*Typed in vain.*0700/)])
})

it.each([
  ['query_only = on', 'The book can only be read at this moment'],
  ['max_page_count = 1', 'There is no more room on the disk of the book.'],
])('a book with %s takes nothing, says so and keeps what was typed on the page', async (pragma, words) => {
  const { ada, db } = await startedBook()
  const page = await ada.open('/paper/many/people')
  await sql`pragma ${sql.raw(pragma)}`.execute(db)
  const pasted = Array.from({ length: 300 }, (_, at) => `${at + 2},Household ${at + 2}`).join('\n')
  const answer = await ada.send(page, { pasted })
  expect([answer.status, answer.words]).toEqual([503, expect.stringContaining(words)])
  expect(answer.words).toContain('Household 301')
  expect(await db.selectFrom('person').select('entryId').execute()).toHaveLength(1)
})

it('a book of which the disk gives other bytes says so, and that nothing was written', async () => {
  const { db: whole } = await startedBook()
  const { pageSize } = (await sql<{ pageSize: number }>`pragma page_size`.execute(whole)).rows[0]!
  const { rows } = await sql<{ rootpage: number }>`select rootpage from sqlite_schema where name = 'account'`.execute(
    whole,
  )
  const bytes = await serialized(whole)
  bytes.fill(0xa5, (rows[0]!.rootpage - 1) * pageSize, rows[0]!.rootpage * pageSize)
  const { visitor } = await openBook('2026-06-04T05:00:00Z', newest(bytes))
  const ada = visitor()
  await ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
  const typed = { number: '9', name: 'Typed in vain', phone: '0700', roles: 'member' }
  const answer = await ada.fill('/people/new', typed)
  expect([answer.status, answer.words]).toEqual([
    503,
    expect.stringMatching(/The disk of the book answers with errors\. Nothing was written.*Typed in vain/),
  ])
})

describe('a book that another program holds', () => {
  const folder = temporaryFolder()
  afterAll(() => folder.remove())

  it('takes nothing, says so, keeps what was typed, and takes it once the other has ended', async () => {
    const file = join(folder.path, 'held.sqlite')
    writeFileSync(file, await serialized((await startedBook()).db))
    const [db, other] = [openDatabase(file), openDatabase(file)]
    const ada = (await openBook('2026-06-04T05:00:00Z', undefined, { db })).visitor()
    await ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
    const page = await ada.open('/people/new')
    await sql`pragma busy_timeout = 0`.execute(db)
    const typed = { number: '9', name: 'Typed in vain', phone: '0700', roles: 'member' }
    await sql`begin immediate`.execute(other)
    const answer = await ada.send(page, typed)
    await sql`rollback`.execute(other)
    expect([answer.status, answer.words]).toEqual([
      503,
      expect.stringMatching(/Another program holds the book\. Nothing was written.*Typed in vain/),
    ])
    expect((await ada.send(page, typed)).words).toContain('Typed in vain')
    expect(await db.selectFrom('person').select('name').where('number', '=', 9).execute()).toHaveLength(1)
    await Promise.all([db.destroy(), other.destroy()])
  })
})

/** The way of a page stands in its address beside what is asked. */
const way = (path: string) => path.split('?')[1]?.replace(/^/, '&') ?? ''

function namesIn(form: HTMLElement): string[] {
  const controls = form.querySelectorAll('input, select, textarea').map((one) => one.getAttribute('name'))
  return [...new Set(controls.filter((name) => name && name !== 'as'))] as string[]
}

/** All fields alike, and each field alone by turns. */
function nonsense(names: readonly string[]): URLSearchParams[] {
  const all = NASTY.map((value) => names.map((name) => [name, value]))
  const alone = names.map((name, at) => [[name, NASTY[(at * 4 + 1) % NASTY.length]!]])
  return [...all, ...alone].map((pairs) => new URLSearchParams(Object.fromEntries(pairs)))
}
