import { group } from 'd3-array'
import type { Instant } from '../calendar.ts'

export interface Correctable {
  id: string
  /** The entry that this one replaces; null for a first entry. */
  correctsId: string | null
  /** Instant, UTC ISO text. */
  writtenAt: Instant
}

interface Standing<Entry extends Correctable> {
  /** What holds now: each first entry, or the last of its corrections, with the id under which it was first written. */
  standing: { entry: Entry; firstId: string }[]
  /** Entries that were corrected more than once side by side, as when two books become one: a person should look. */
  clashes: { correctedId: string; entryIds: string[] }[]
}

/**
 * Which entries hold after all corrections. Nothing is lost: the others stay in the book. Of two corrections of the same
 * entry the one written last holds (equal times: the higher id), so that any order of merging gives the same book.
 */
export function standingEntries<Entry extends Correctable>({
  entries,
}: {
  entries: readonly Entry[]
}): Standing<Entry> {
  const byId = new Map(entries.map((entry) => [entry.id, entry]))
  const written = [...byId.values()].toSorted(byWriting)
  const corrections = group(
    written.filter((entry) => entry.correctsId !== null && byId.has(entry.correctsId)),
    (entry) => entry.correctsId!,
  )
  const firsts = written.filter((entry) => entry.correctsId === null || !byId.has(entry.correctsId))
  const standing = firsts.map((first) => ({ entry: lastOf(first, corrections), firstId: first.id }))
  const clashes = [...corrections]
    .filter(([, rivals]) => rivals.length > 1)
    .map(([correctedId, rivals]) => ({ correctedId, entryIds: rivals.map((entry) => entry.id) }))
  return { standing, clashes }
}

function lastOf<Entry extends Correctable>(first: Entry, corrections: ReadonlyMap<string, Entry[]>): Entry {
  let entry = first
  for (let next = corrections.get(entry.id)?.at(-1); next; next = corrections.get(entry.id)?.at(-1)) entry = next
  return entry
}

function byWriting(a: Correctable, b: Correctable): number {
  if (a.writtenAt !== b.writtenAt) return a.writtenAt < b.writtenAt ? -1 : 1
  return a.id < b.id ? -1 : 1
}
