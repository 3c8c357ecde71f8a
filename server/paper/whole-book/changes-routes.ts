import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { type Changer, changers } from './changes-store.ts'
import { registerWords } from './register-words.ts'

/** Who put what right, person by person: what an auditor goes through at a sitting. */
export function addChangesPage({ get }: Pages): void {
  get('/paper/changes', 'money.see-all', showChanges)
}

async function showChanges(desk: Desk) {
  const { db, query, t, format } = desk
  const everybody = (await changers(db))
    .map((one) => ({ ...one, changes: one.changes.filter(({ kind }) => mayHear(desk, kind)) }))
    .filter(({ changes }) => changes.length > 0)
  if (!query.by) {
    const lines = everybody.map(({ personId, number, name, changes }) => ({
      personId,
      at: number,
      words: name,
      figure: format.whole(changes.length),
      href: `/paper/changes?by=${personId}`,
    }))
    return page(desk, 'paper/whole-book/changes', { title: 'paper.changes.title', lines })
  }
  const { name, changes } = found(everybody.find((one) => one.personId === query.by))
  const lines = changes.map((change) => ({
    words: kindWords(desk, change.kind),
    small: [format.instant(change.writtenAt), change.reason ?? t('paper.changes.no-reason')].join(' · '),
    href: lineOf(change),
  }))
  return page(desk, 'paper/whole-book/changes', {
    title: 'paper.changes.title-of',
    titleValues: { name },
    lines,
    of: name,
  })
}

/** What somebody was reproached with is for those who hear such matters. */
function mayHear({ may }: Desk, kind: string): boolean {
  return !/^(complaint|warning)/.test(kind) || may('hearing.see-all')
}

function kindWords(desk: Desk, kind: string): string {
  const table = kind.replace(/-(\w)/g, (_, letter: string) => letter.toUpperCase())
  return registerWords(desk, table) ?? desk.t('paper.changes.other')
}

/** Where the old line stands with what took its place, of the kinds that have a page of their own. */
const LINES: Record<string, string> = {
  abstraction: '/log/lines/drawn/',
  'pump-day-reading': '/log/lines/meter/',
  'tank-reading': '/log/lines/tank/',
  'level-reading': '/water/lines/level/',
  'crop-plan': '/crops/lines/crop/',
}

function lineOf({ kind, correctsId }: Changer['changes'][number]): string | undefined {
  const address = LINES[kind]
  return address && correctsId ? address + correctsId : undefined
}
