import { join } from 'node:path'
import { Eta } from 'eta'
import { parse } from 'node-html-parser'
import { projectFolder } from '../../server/project-folder.ts'
import { makeFormat } from '../../server/web/figures/format.ts'
import { loadLocale } from '../../server/web/figures/locale.ts'
import { namesOf } from '../../server/web/figures/names-of-doors.ts'

const eta = new Eta({ views: join(projectFolder(), 'views') })
const locale = loadLocale('en')
const COMMON = {
  t: locale.t,
  has: locale.has,
  f: makeFormat('en', 'UTC'),
  heading: 'Heading',
  can: () => true,
  group: null,
  person: null,
  clock: null,
  rooms: [],
  siblings: [],
  languages: [],
  laidOut: () => ({ language: 'en', dir: 'ltr' }),
  opensMore: true,
  namesOf,
  asCounted: () => '',
  inCurrency: 'Amounts in XOF',
  coming: [],
  today: '2026-06-10',
  // Nobody goes by a mark here.
  marks: { of: () => null, ofPlot: () => [], isOfficers: () => false, drawn: () => [] },
}

/** A view with what it is handed: its words, and the cells of its rows in their order. */
export function shown(view: string, data: Record<string, unknown>) {
  const html = parse(eta.render(`/${view}`, { ...COMMON, ...data }))
  /** What stands beside each label of a list of facts, or under it. */
  const facts = Object.fromEntries(
    html
      .querySelectorAll('dt')
      .map((label) => [folded(label.textContent), folded(label.nextElementSibling!.textContent)]),
  )
  const cells = (row: string) => html.querySelectorAll(`${row} td`).map((cell) => folded(cell.textContent))
  return { words: folded((html.querySelector('main') ?? html).textContent), cells, facts, html }
}

const folded = (text: string) => text.replace(/\s+/g, ' ').trim()
