import { group } from 'd3-array'
import type { WholeEntry } from './whole-entry.ts'

const CLASH_KINDS = [
  'same-outlet-same-time',
  'same-turn',
  'same-meter-interval',
  'same-slip',
  'same-paper-row',
  'same-pump-reading',
  'same-tank-reading',
  'same-number',
  'same-sign-in-name',
  'same-receipt',
  'same-charge',
  'same-day-of-weather',
  'same-level',
  'two-corrections',
] as const
export type ClashKind = (typeof CLASH_KINDS)[number]

export interface Clash {
  kind: ClashKind
  /** The two entries; the one with the lower slip number first, which is the order proposed. */
  entryIds: [string, string]
}

/** What each book wrote by itself about the same thing. Nothing is decided here; both stay until a person settles it. */
export function clashesOf(own: readonly WholeEntry[], theirs: readonly WholeEntry[]): Clash[] {
  const theirMarks = group(theirs.flatMap(marksOf), ({ key }) => key)
  const found = new Map<string, Clash>()
  for (const mark of own.flatMap(marksOf)) {
    for (const other of theirMarks.get(mark.key) ?? []) {
      if (mark.span && other.span && !overlap(mark.span, other.span)) continue
      const entryIds = inTicketOrder(mark.whole, other.whole)
      found.set(`${mark.kind} ${entryIds.join(' ')}`, { kind: mark.kind, entryIds })
    }
  }
  return withoutWeaker([...found.values()])
}

type Row = Record<string, unknown>
type Span = readonly [from: number | string, to: number | string]

/** Two entries with the same key clash, unless both tell a span and the spans do not meet. */
interface Mark {
  kind: ClashKind
  key: string
  span: Span | null
  whole: WholeEntry
}

const NUMBERED = ['person', 'pump', 'outlet', 'plot', 'weir', 'tank', 'voucher'] as const

function marksOf(whole: WholeEntry): Mark[] {
  const { entry } = whole
  const marks: Mark[] = []
  const mark = (kind: ClashKind, parts: readonly unknown[], span: Span | null = null) => {
    if (parts.every((part) => part != null)) marks.push({ kind, key: `${kind} ${parts.join(' ')}`, span, whole })
  }
  mark('two-corrections', [entry.corrects_id])
  mark('same-paper-row', [entry.kind, entry.paper_page, entry.paper_row])
  const draw = factOf(whole, 'abstraction')
  if (draw) markDraw(draw, factOf(whole, 'draw_note'), mark)
  for (const table of NUMBERED) mark('same-number', [table, factOf(whole, table)?.number])
  mark('same-sign-in-name', [factOf(whole, 'person')?.sign_in_name])
  const transfer = factOf(whole, 'transfer')
  mark('same-receipt', [transfer?.receipt_book, transfer?.receipt_number])
  mark('same-charge', [transfer?.kind === 'charge' ? transfer.abstraction_id : null])
  mark('same-charge', [factOf(whole, 'transfer_cause')?.cause_id])
  mark('same-day-of-weather', [factOf(whole, 'weather_day')?.on_date])
  markReadings(whole, mark)
  return marks
}

type Marking = (kind: ClashKind, parts: readonly unknown[], span?: Span | null) => void

function markDraw(draw: Row, note: Row | null, mark: Marking): void {
  mark('same-turn', [draw.turn_id])
  // A draw without both clock times may have been at the same time, so it is shown too.
  const times = draw.start_time && draw.end_time ? ([String(draw.start_time), String(draw.end_time)] as const) : null
  mark('same-outlet-same-time', [draw.outlet_id, draw.on_date], times)
  const read = draw.method === 'meter' && Number(draw.closing_m3) > Number(draw.opening_m3)
  if (read) mark('same-meter-interval', [draw.pump_id], [Number(draw.opening_m3), Number(draw.closing_m3)])
  mark('same-slip', [note?.slip_no])
}

function markReadings(whole: WholeEntry, mark: Marking): void {
  const level = factOf(whole, 'level_reading')
  mark('same-level', [level?.weir_id, level?.on_date ?? level?.read_on])
  const pump = factOf(whole, 'pump_day_reading')
  mark('same-pump-reading', [pump?.pump_id, pump?.on_date, pump?.moment])
  const tank = factOf(whole, 'tank_reading')
  mark('same-tank-reading', [tank?.tank_id, tank?.on_date, tank?.moment])
}

function overlap([from, to]: Span, [otherFrom, otherTo]: Span): boolean {
  return from < otherTo && otherFrom < to
}

/** Of two draws that clash in several ways, the plainest is told: the same turn, the same time, then the same meter. */
function withoutWeaker(clashes: Clash[]): Clash[] {
  const rank = ({ kind }: Clash) => CLASH_KINDS.indexOf(kind)
  const ofPair = group(clashes, ({ entryIds }) => entryIds.join(' '))
  return [...ofPair.values()].map((same) => same.toSorted((a, b) => rank(a) - rank(b))[0]!)
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

function factOf({ facts }: WholeEntry, table: string): Row | null {
  return facts.find(([name]) => name === table)?.[1] ?? null
}
