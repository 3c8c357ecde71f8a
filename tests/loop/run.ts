import { before } from './before.ts'
import { equalHours, noReserve } from './harvest/habits.ts'
import { ours } from './harvest/ours.ts'
import { perfectKnowledge } from './harvest/perfect.ts'
import { HEADS, judged, KINDS, printTable, rowOf } from './table.ts'

/**
 * Whole seasons in true worlds, judged by their harvest and, in `run-wide.ts` beside it, by the drinking water: `npm run
 * bench:loop`. By seeds from 1000 on no formula and no default was chosen; those below are for that.
 */
const JUDGING = Array.from({ length: 20 }, (_, at) => 1000 + at)

const POLICIES = {
  'equal hours': () => equalHours,
  'no reserve, evenly': () => noReserve,
  before: () => before,
  ours: () => ours,
  'perfect knowledge': perfectKnowledge,
}

for (const kind of KINDS) {
  const rows = Object.entries(POLICIES).map(([name, policyOf]) => rowOf(name, judged(kind, JUDGING, policyOf)))
  printTable(`For the harvest: ${kind}, ${JUDGING.length} seasons, per cent`, ['policy', ...HEADS], rows)
}
