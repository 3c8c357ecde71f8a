import { RULING_TABLES } from '../after-joining.ts'
import type { WholeEntry } from './whole-entry.ts'

/** Entries of another device that would rule here. */
export function rulingsAmong(brought: readonly WholeEntry[]): WholeEntry[] {
  return brought.filter(({ facts }) => facts.some(([table]) => RULING_TABLES.includes(table)))
}

/** What the other book has alone. */
export function broughtBy(own: readonly WholeEntry[], theirs: readonly WholeEntry[]): WholeEntry[] {
  const ids = new Set(own.map(({ entry }) => entry.id))
  return theirs.filter(({ entry }) => !ids.has(entry.id))
}
