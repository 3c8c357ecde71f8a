/**
 * How many places may still break each rule of the house. A number only ever goes down; a rule without one holds everywhere.
 * Whoever mends a place lowers its number in the same commit, and the last one takes the line away.
 */
export const ALLOWED: Record<string, number> = {
  reaches: 1,
  order: 2,
  'tests-only': 10,
  scraps: 9,
  twins: 1,
}
