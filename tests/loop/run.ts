import '../../server/runtime.ts'

import { before } from './before.ts'
import { equalHours, noReserve } from './harvest/habits.ts'
import { ours, oursWith, type Settings } from './harvest/ours.ts'
import { perfectKnowledge } from './harvest/perfect.ts'
import { HEADS, judged, KINDS, printTable, rowOf } from './table.ts'

/**
 * Whole seasons in true worlds, judged by their harvest and, in `run-wide.ts` beside it, by the drinking water: `npm run
 * bench:loop`. By seeds from 1000 on no formula and no default was chosen; those below are for that.
 */
const JUDGING = Array.from({ length: 20 }, (_, at) => 1000 + at)
/** Terms are told apart on the first of them. */
const SOME = JUDGING.slice(0, 4)

const POLICIES = {
  'equal hours': () => equalHours,
  'no reserve, evenly': () => noReserve,
  before: () => before,
  ours: () => ours,
  'perfect knowledge': perfectKnowledge,
}

/** One term at a time taken back or pushed further; what it gains or loses is shown in points of the mean yield. */
const TERMS: Record<string, Partial<Settings>> = {
  'loss from the mean rest, half by head': { loss: 'mean rest' },
  'no look back at what was lost': { looksBack: false },
  'a share rises freely': { holdsRise: false },
  'missed turns not booked again': { booksOpenHours: false },
  'turns evenly spaced': { laysByDaysLeft: false },
  'one turn a week at most': { mostTurns: 1 },
  'no drinking kept beyond the late day': { extraWeeks: 0 },
  'four weeks kept beyond it': { extraWeeks: 4 },
}

for (const kind of KINDS) {
  const rows = Object.entries(POLICIES).map(([name, policyOf]) => rowOf(name, judged(kind, JUDGING, policyOf)))
  printTable(`For the harvest: ${kind}, ${JUDGING.length} seasons, per cent`, ['policy', ...HEADS], rows)
}

const yieldsOf = (changed: Partial<Settings>) =>
  KINDS.map((kind) => 100 * judged(kind, SOME, () => oursWith(changed)).meanYield)
const asItIs = yieldsOf({})
const termRows = Object.entries(TERMS).map(([name, changed]) => [
  name,
  ...yieldsOf(changed).map((one, at) => (one - asItIs[at]!).toFixed(1)),
])
printTable(`Points of mean yield against ours, ${SOME.length} seasons`, ['with', ...KINDS], termRows)
