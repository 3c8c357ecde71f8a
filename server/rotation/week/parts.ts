import { group } from 'd3-array'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import { groupsInSheets, sheetOf } from '../../web/figures/sheets.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { namedShares, ShownWeek, turnsByDay } from './view.ts'

type Day = ReturnType<typeof turnsByDay>[number]
type Row = Day['rows'][number]

/** More turns than this do not come over a weak line on one page, nor more shares than that. Own choice, no source. */
const MOST_TURNS = 80
const MOST_SHARES = 100

interface Parted {
  week: ShownWeek
  days: readonly Day[]
  shares: ReturnType<typeof namedShares>
  own: ReadonlySet<Id<'plot'>>
}

/**
 * What of a long week its page shows: one day, of a long day some of its pumps, or the shares. A week that is not long, and one that is
 * asked for as a whole, shows all of it. The day that stands open is the one that is shown, or else today or the first with turns.
 */
export function weekPart({ today, query }: Pick<Desk, 'today' | 'query'>, { week, days, shares, own }: Parted) {
  const first = days.find(({ day }) => day === today) ?? days.find(({ rows }) => rows.length > 0)
  const whole = { part: null, shownDays: days, shownShares: shares, partSheet: null, openDay: first?.day }
  if (sum(days, ({ turns }) => turns.length) <= MOST_TURNS) return whole
  const doors = [...days.map(({ day }) => day), 'shares', 'all']
  const shown = doors.find((one) => one === query.part) ?? first!.day
  const part = { doors, shown }
  if (shown === 'all') return { ...whole, part, openDay: shown }
  if (shown === 'shares') {
    const { shown: shownShares, ...sheet } = sheetOf(shares, { asked: query.sheet, size: MOST_SHARES })
    return {
      part,
      shownDays: [],
      shownShares,
      partSheet: { ...sheet, of: `part=${shown}&` },
      openDay: shown,
    }
  }
  const day = days.find((one) => one.day === shown)!
  const sheets = pumpsTogether(week, day.rows)
  const ofOwn = sheets.findIndex((rows) => rows.some((row) => 'plotId' in row && own.has(row.plotId))) + 1
  const asked = query.sheet ?? String(ofOwn)
  const { shown: parts, ...sheet } = sheetOf(sheets, { asked, size: 1 })
  return {
    part,
    shownDays: [{ ...day, rows: parts.flat().toSorted((a, b) => a.startMinute - b.startMinute) }],
    shownShares: [],
    partSheet: { ...sheet, of: `part=${shown}&` },
    openDay: shown,
  }
}

/** The rows of a day in sheets of whole pumps, in the order of their numbers. */
function pumpsTogether({ inputs }: ShownWeek, rows: readonly Row[]): Row[][] {
  const numbers = new Map(inputs.pumps.map(({ id, number }) => [id, number]))
  const ofPumps = [...group(rows, ({ pumpId }) => numbers.get(pumpId) ?? 0)].toSorted(([a], [b]) => a - b)
  return groupsInSheets(ofPumps, ([, own]) => own.length).map((pumps) => pumps.flatMap(([, own]) => own))
}
