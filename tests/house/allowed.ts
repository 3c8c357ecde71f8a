/**
 * How many places may still break each rule of the house. A number only ever goes down; a rule without one holds everywhere.
 * Whoever mends a place lowers its number in the same commit, and the last one takes the line away.
 */
export const ALLOWED: Record<string, number> = {
  reaches: 14,
  order: 20,
  templates: 15,
  reckoning: 46,
  'hidden-fields': 1,
  unused: 60,
  'tests-only': 56,
  scraps: 44,
  twins: 19,
  packed: 6,
  never: 4,
}
