/**
 * How many places may still break each rule of the house. A number only ever goes down; a rule without one holds everywhere.
 * Whoever mends a place lowers its number in the same commit, and the last one takes the line away.
 */
export const ALLOWED: Record<string, number> = {
  pairs: 33,
  reaches: 60,
  order: 36,
  functions: 23,
  templates: 16,
  'template-lines': 0,
  reckoning: 44,
  'hidden-fields': 1,
  unused: 92,
  'tests-only': 56,
  scraps: 45,
  twins: 26,
  packed: 100,
  never: 27,
  'time-zone': 20,
  desk: 54,
}
