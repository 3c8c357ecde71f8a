/**
 * How many places may still break each rule of the house. A number only ever goes down; a rule without one holds everywhere.
 * Whoever mends a place lowers its number in the same commit, and the last one takes the line away.
 */
export const ALLOWED: Record<string, number> = {
  pairs: 25,
  reaches: 57,
  order: 36,
  functions: 23,
  templates: 15,
  reckoning: 44,
  'hidden-fields': 1,
  unused: 89,
  'tests-only': 56,
  scraps: 45,
  twins: 25,
  packed: 59,
  never: 27,
  'time-zone': 19,
  desk: 54,
}
