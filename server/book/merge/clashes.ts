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
  mark('two-corrections', [entry.correctsId])
  mark('same-paper-row', [entry.kind, entry.paperPage, entry.paperRow])
  const draw = factOf(whole, 'abstraction')
  if (draw) markDraw(draw, factOf(whole, 'drawNote'), mark)
  for (const table of NUMBERED) mark('same-number', [table, factOf(whole, table)?.number])
  mark('same-sign-in-name', [factOf(whole, 'person')?.signInName])
  const transfer = factOf(whole, 'transfer')
  mark('same-receipt', [transfer?.receiptBook, transfer?.receiptNumber])
  mark('same-charge', [transfer?.kind === 'charge' ? transfer.abstractionId : null])
  mark('same-charge', [factOf(whole, 'transferCause')?.causeId])
  mark('same-day-of-weather', [factOf(whole, 'weatherDay')?.onDate])
  markReadings(whole, mark)
  return marks
}

type Marking = (kind: ClashKind, parts: readonly unknown[], span?: Span | null) => void

function markDraw(draw: Row, note: Row | null, mark: Marking): void {
  mark('same-turn', [draw.turnId])
  // A draw without both clock times may have been at the same time, so it is shown too.
  const times = draw.startTime && draw.endTime ? ([String(draw.startTime), String(draw.endTime)] as const) : null
  mark('same-outlet-same-time', [draw.outletId, draw.onDate], times)
  const read = draw.method === 'meter' && Number(draw.closingM3) > Number(draw.openingM3)
  if (read) mark('same-meter-interval', [draw.pumpId], [Number(draw.openingM3), Number(draw.closingM3)])
  mark('same-slip', [note?.slipNo])
}

function markReadings(whole: WholeEntry, mark: Marking): void {
  const level = factOf(whole, 'levelReading')
  mark('same-level', [level?.weirId, level?.onDate])
  const pump = factOf(whole, 'pumpDayReading')
  mark('same-pump-reading', [pump?.pumpId, pump?.onDate, pump?.moment])
  const tank = factOf(whole, 'tankReading')
  mark('same-tank-reading', [tank?.tankId, tank?.onDate, tank?.moment])
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
    const slip = factOf(whole, 'drawNote')?.slipNo
    const number = typeof slip === 'number' ? String(slip).padStart(9, '0') : '~'
    return `${number} ${whole.entry.writtenAt} ${whole.entry.id}`
  }
  return rank(one) < rank(other) ? [one.entry.id, other.entry.id] : [other.entry.id, one.entry.id]
}

function factOf({ facts }: WholeEntry, table: string): Row | null {
  return facts.find(([name]) => name === table)?.[1] ?? null
}
