import type { EntryTable, FactTables } from '../../database/schema.ts'

export type FactRow = readonly [table: keyof FactTables, row: Record<string, unknown> & { entryId: string }]

/** An entry with all that hangs on it. */
export interface WholeEntry {
  entry: Omit<EntryTable, 'seq'> & { seq: number }
  facts: FactRow[]
}
