import { changedWords } from '../../people/group/changed-state.ts'
import { type GroupChange, groupChanges } from '../../people/group/store.ts'
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
  const { db, query, format } = desk
  const settings = await groupChanges(db)
  // With its first settings the book began: that changed nothing.
  const isChange = ({ kind, id }: Changer['changes'][number]) => kind !== 'group-setting' || settings.has(id)
  const everybody = (await changers(db))
    .map((one) => ({ ...one, changes: one.changes.filter((change) => mayHear(desk, change.kind) && isChange(change)) }))
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
    small: [format.instant(change.writtenAt), ...whatOf(desk, change, settings.get(change.id))].join(' · '),
    href: lineOf(change),
  }))
  return page(desk, 'paper/whole-book/changes', {
    title: 'paper.changes.title-of',
    titleValues: { name },
    lines,
    of: name,
  })
}

/** Why something was put right; of the group's settings, what they were before. */
function whatOf(desk: Desk, { reason }: Changer['changes'][number], settings: GroupChange | undefined): string[] {
  if (!settings) return [reason ?? desk.t('paper.changes.no-reason')]
  return changedWords(desk, settings.before, settings.after)
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

function lineOf({ id, kind, correctsId }: Changer['changes'][number]): string | undefined {
  if (kind === 'group-setting') return `/people/names/group/${id}`
  const address = LINES[kind]
  return address && correctsId ? address + correctsId : undefined
}
