import type { WholeEntry } from './merge.ts'

export type ClashKind =
  | 'same-outlet-same-time'
  | 'same-turn'
  | 'same-paper-row'
  | 'same-day-of-weather'
  | 'same-level'
  | 'same-week-published'
  | 'two-corrections'

export interface Clash {
  kind: ClashKind
  /** The two entries; for draws the one with the lower slip number first, which is the order proposed. */
  entryIds: [string, string]
}

/** What each book wrote by itself about the same thing. Nothing is decided here; both stay until a person settles it. */
export function clashesOf(own: readonly WholeEntry[], theirs: readonly WholeEntry[]): Clash[] {
  return own.flatMap((one) =>
    theirs.flatMap((other) => {
      const kind = clashOf(one, other)
      return kind ? [{ kind, entryIds: inTicketOrder(one, other) }] : []
    }),
  )
}

function clashOf(one: WholeEntry, other: WholeEntry): ClashKind | null {
  const [a, b] = [one.entry, other.entry]
  if (a.corrects_id !== null && a.corrects_id === b.corrects_id) return 'two-corrections'
  if (a.kind !== b.kind) return null
  const same = (table: string, ...columns: string[]) => {
    const [x, y] = [factOf(one, table), factOf(other, table)]
    return x !== null && y !== null && columns.every((column) => x[column] !== null && x[column] === y[column])
  }
  if (a.paper_page !== null && a.paper_page === b.paper_page && a.paper_row === b.paper_row) return 'same-paper-row'
  if (same('abstraction', 'turn_id')) return 'same-turn'
  if (same('abstraction', 'outlet_id', 'on_date') && overlap(one, other)) return 'same-outlet-same-time'
  if (same('weather_day', 'on_date')) return 'same-day-of-weather'
  if (same('level_reading', 'weir_id', 'on_date')) return 'same-level'
  return same('published_week', 'week_start_on') ? 'same-week-published' : null
}

/** Draws without both clock times may have been at the same time, so they are shown too. */
function overlap(one: WholeEntry, other: WholeEntry): boolean {
  const [x, y] = [factOf(one, 'abstraction')!, factOf(other, 'abstraction')!]
  const times = [x.start_time, x.end_time, y.start_time, y.end_time]
  if (times.some((time) => time === null)) return true
  return String(x.start_time) < String(y.end_time) && String(y.start_time) < String(x.end_time)
}

/** By the numbers of the slips, else by the moment of writing, else by id, so that either book proposes the same. */
function inTicketOrder(one: WholeEntry, other: WholeEntry): [string, string] {
  const rank = (whole: WholeEntry) => {
    const slip = factOf(whole, 'draw_note')?.slip_no
    const number = typeof slip === 'number' ? String(slip).padStart(9, '0') : '~'
    return `${number} ${whole.entry.written_at} ${whole.entry.id}`
  }
  return rank(one) < rank(other) ? [one.entry.id, other.entry.id] : [other.entry.id, one.entry.id]
}

function factOf({ facts }: WholeEntry, table: string): Record<string, unknown> | null {
  return facts.find(([name]) => name === table)?.[1] ?? null
}
