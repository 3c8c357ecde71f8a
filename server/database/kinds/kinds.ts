import type { Kind } from '../tables-of.ts'
import written from './kinds.json' with { type: 'json' }

/** By table and column, as they are called in the file. */
type Kinds = ReadonlyMap<string, ReadonlyMap<string, Kind>>

/** What each column held while entries were hashed by the first rule only (`book/entry-hash.ts`), as the steps of that time made it. */
export const KINDS_OF_FIRST_RULE: Kinds = read(written.ofFirstRule)

/**
 * What each column holds as the program's own steps declare it, whatever a file says of itself. It is written down, as taking every
 * step would keep each start and each check waiting; `tests/house/kinds/` sets it beside what the steps make.
 */
export const KINDS: Kinds = joined(KINDS_OF_FIRST_RULE, read(written.since))

function read(tables: Record<string, string>): Kinds {
  return new Map(Object.entries(tables).map(([name, columns]) => [name, columnsOf(columns)]))
}

function columnsOf(columns: string): Map<string, Kind> {
  return new Map(columns.split(', ').map((column) => column.split(' ') as [string, Kind]))
}

function joined(before: Kinds, since: Kinds): Kinds {
  const names = new Set([...before.keys(), ...since.keys()])
  return new Map([...names].map((name) => [name, new Map([...(before.get(name) ?? []), ...(since.get(name) ?? [])])]))
}
