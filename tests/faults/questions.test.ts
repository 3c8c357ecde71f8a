import type { HTMLElement } from 'node-html-parser'
import { beforeAll, expect, it } from 'vitest'
import { ROLES } from '../../domain/people/permissions.ts'
import { setRoles } from '../../server/people/person/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { Rascal } from './nasty.ts'

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
