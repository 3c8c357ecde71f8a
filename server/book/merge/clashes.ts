import { group } from 'd3-array'
import { CLASH_KINDS, type ClashKind } from '../rules/clash-kinds.ts'
import type { Rule, Span } from '../rules/clash-rows.ts'
import { CLASH_RULES } from '../rules/clash-rules.ts'
import type { FactRow, WholeEntry } from './whole-entry.ts'

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
      if (mark.kind === 'same-setting' && mark.said === other.said) continue
      const entryIds = inTicketOrder(mark.whole, other.whole)
      found.set(`${mark.kind} ${entryIds.join(' ')}`, { kind: mark.kind, entryIds })
    }
  }
  return withoutWeaker([...found.values()])
}

/** Two entries with the same key clash, unless both tell a span and the spans do not meet. */
interface Mark {
  kind: ClashKind
  key: string
  span: Span | null
  whole: WholeEntry
  /** What the row says; two that say the same do not clash as settings. */
  said: string
}

function marksOf(whole: WholeEntry): Mark[] {
  const { correctsId, kind, paperPage, paperRow } = whole.entry
  const ofEntry = (clash: ClashKind, parts: readonly unknown[]): Mark[] =>
    parts.every((part) => part != null)
      ? [{ kind: clash, key: keyOf(clash, clash, parts), span: null, whole, said: whole.entry.id }]
      : []
  return [
    ...ofEntry('two-corrections', [correctsId]),
    ...ofEntry('same-paper-row', [kind, paperPage, paperRow]),
    ...whole.facts.flatMap((fact) => marksOfFact(whole, fact)),
  ]
}

function marksOfFact(whole: WholeEntry, [table, row]: FactRow): Mark[] {
  // A table that only an older book or another program knows has no rule, and its rows are kept as they are.
  const rules = CLASH_RULES[table] ?? []
  return typeof rules === 'string' ? [] : rules.flatMap((rule) => markOf(whole, [table, row], rule))
}

function markOf(whole: WholeEntry, [table, row]: FactRow, rule: Rule): Mark[] {
  const parts = rule.by.map((column) => row[column])
  const isOut = (rule.where && !rule.where(row)) || (rule.not && factOf(whole, rule.not))
  if (isOut || parts.some((part) => part == null)) return []
  const { entryId: _, ...said } = row
  const key = keyOf(rule.kind, rule.as ?? table, parts)
  return [{ kind: rule.kind, key, span: rule.span?.(row) ?? null, whole, said: JSON.stringify(said) }]
}

function keyOf(kind: ClashKind, name: string, parts: readonly unknown[]): string {
  return JSON.stringify([kind, name, ...parts])
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

/** By the numbers of the slips, else by the moment of asking, of writing, or by id, so that either book proposes the same. */
function inTicketOrder(one: WholeEntry, other: WholeEntry): [string, string] {
  const rank = (whole: WholeEntry) => {
    const slip = factOf(whole, 'drawNote')?.slipNo
    const number = typeof slip === 'number' ? String(slip).padStart(9, '0') : '~'
    const { happenedAt, writtenAt, id } = whole.entry
    return `${number} ${happenedAt} ${writtenAt} ${id}`
  }
  return rank(one) < rank(other) ? [one.entry.id, other.entry.id] : [other.entry.id, one.entry.id]
}

function factOf({ facts }: WholeEntry, table: string): Record<string, unknown> | null {
  return facts.find(([name]) => name === table)?.[1] ?? null
}
