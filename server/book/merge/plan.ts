import { InputError } from '../../../domain/input-error.ts'
import { type PartedBook, partedBooks } from './parted.ts'
import type { WholeEntry } from './whole-entry.ts'

/** How two books of one group become one. */
export interface MergePlan {
  /** Entries that only the first book had, only the second, and both. */
  onlyOne: number
  onlyOther: number
  shared: number
  merged: WholeEntry[]
  /** How many entries both have alike from the beginning; these keep their hashes. */
  alike: number
  parted: PartedBook[]
}

/**
 * What both have from the beginning keeps its place; from where they parted on the entries follow each other by the moment of
 * writing, each book's own in the order in which it wrote them. So it is the same book, whichever of the two is named first.
 * Throws InputError `merge-other-group`, `merge-differs`, `merge-same-turn`.
 */
export function mergePlan(one: readonly WholeEntry[], other: readonly WholeEntry[]): MergePlan {
  const own = new Map(one.map((whole) => [whole.entry.id, whole]))
  const inBoth = other.filter(({ entry }) => own.has(entry.id))
  const shared = inBoth.length
  if (shared === 0) throw new InputError('merge-other-group')
  const differing = inBoth.find((whole) => differs(whole, own.get(whole.entry.id)!))
  if (differing) throw new InputError('merge-differs', { entry: differing.entry.id })
  const merged = interleaved(one, other)
  refuseSecondTurn(merged)
  return {
    onlyOne: one.length - shared,
    onlyOther: other.length - shared,
    shared,
    merged,
    alike: alikeFromTheBeginning(one, merged),
    parted: partedBooks(one, other),
  }
}

/** Whether one entry says something else in two books; a hash that is the same covers all of it. */
function differs(one: WholeEntry, other: WholeEntry): boolean {
  return one.entry.hash !== other.entry.hash && saidIn(one) !== saidIn(other)
}

/** What an entry says, wherever it stands on a chain, and in whatever order a file keeps its columns. */
function saidIn({ entry, facts }: WholeEntry): string {
  const { seq: _seq, hash: _hash, previousHash: _previous, ...said } = entry
  const inOrder = (row: object) => JSON.stringify(Object.entries(row).toSorted(([a], [b]) => (a < b ? -1 : 1)))
  return [inOrder(said), ...facts.map(([table, row]) => `${table} ${inOrder(row)}`).sort()].join('\n')
}

/** Both in their own order, the earlier written first; which of them is named first makes no difference. */
function interleaved(one: readonly WholeEntry[], other: readonly WholeEntry[]): WholeEntry[] {
  const taken = new Set<string>()
  const merged: WholeEntry[] = []
  let [i, j] = [0, 0]
  for (;;) {
    while (i < one.length && taken.has(one[i]!.entry.id)) i++
    while (j < other.length && taken.has(other[j]!.entry.id)) j++
    const [a, b] = [one[i], other[j]]
    const next = a && b ? (momentOf(a) <= momentOf(b) ? a : b) : (a ?? b)
    if (!next) return merged
    taken.add(next.entry.id)
    merged.push(next)
  }
}

function momentOf({ entry }: WholeEntry): string {
  return `${entry.writtenAt} ${entry.id}`
}

function alikeFromTheBeginning(one: readonly WholeEntry[], merged: readonly WholeEntry[]): number {
  const at = one.findIndex(({ entry }, place) => entry.id !== merged[place]?.entry.id)
  return at < 0 ? one.length : at
}

/** Books of older versions named the turns of a week by their place alone, so two weeks published apart gave one name twice. */
function refuseSecondTurn(merged: readonly WholeEntry[]): void {
  const turns = new Set<unknown>()
  for (const [table, row] of merged.flatMap(({ facts }) => facts)) {
    if (table !== 'turn') continue
    if (turns.has(row.id)) throw new InputError('merge-same-turn', { turn: String(row.id) })
    turns.add(row.id)
  }
}
