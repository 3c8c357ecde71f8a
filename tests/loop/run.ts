import '../../server/runtime.ts'

import { before } from './before.ts'
import { ours } from './ours.ts'
import { perfectKnowledge } from './perfect.ts'
import { equalHours, noReserve } from './policies.ts'
import { HEADS, judged, KINDS, rowOf, tableLines } from './table.ts'

/** Seeds that nobody looked at while formulas and defaults were being chosen; those below 1000 are for that. */
const JUDGING = Array.from({ length: 20 }, (_, at) => 1000 + at)

const POLICIES = {
  'equal hours': () => equalHours,
  'no reserve, evenly': () => noReserve,
  before: () => before,
  ours: () => ours,
  'perfect knowledge': perfectKnowledge,
}

/** Whole seasons in true worlds, judged by their harvest and by the drinking water: `npm run bench:loop`. */
for (const kind of KINDS) {
  console.log(`\nFor the harvest: ${kind}, ${JUDGING.length} seasons, per cent`)
  const rows = Object.entries(POLICIES).map(([name, policyOf]) => rowOf(name, judged(kind, JUDGING, policyOf)))
  for (const line of tableLines(['policy', ...HEADS], rows)) console.log(line)
}
