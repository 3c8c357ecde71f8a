import '../../server/runtime.ts'

import { before, beforeWide } from './before.ts'
import { oursWide } from './drinking/ours.ts'
import { judgedWide, type WidePolicy, wideSeason } from './drinking/stores.ts'
import { equalHours, noReserve } from './harvest/habits.ts'
import { ours } from './harvest/ours.ts'
import { perfectKnowledge } from './harvest/perfect.ts'
import { HEADS, judged, KINDS, rowOf, tableLines } from './table.ts'

/**
 * Whole seasons in true worlds, judged by their harvest and by the drinking water: `npm run bench:loop`. Seeds from 1000 on
 * were looked at by nobody while formulas and defaults were being chosen; those below are for that.
 */
const JUDGING = Array.from({ length: 20 }, (_, at) => 1000 + at)
const WIDE = Array.from({ length: 1500 }, (_, at) => wideSeason(10000 + at))

const POLICIES = {
  'equal hours': () => equalHours,
  'no reserve, evenly': () => noReserve,
  before: () => before,
  ours: () => ours,
  'perfect knowledge': perfectKnowledge,
}

const WIDE_POLICIES: Record<string, WidePolicy> = {
  before: beforeWide,
  ours: oursWide(),
}

function printTable(title: string, heads: readonly string[], rows: readonly string[][]): void {
  console.log(`\n${title}`)
  for (const line of tableLines(heads, rows)) console.log(line)
}

for (const kind of KINDS) {
  const rows = Object.entries(POLICIES).map(([name, policyOf]) => rowOf(name, judged(kind, JUDGING, policyOf)))
  printTable(`For the harvest: ${kind}, ${JUDGING.length} seasons, per cent`, ['policy', ...HEADS], rows)
}

const wideRows = Object.entries(WIDE_POLICIES).map(([name, policy]) => {
  const { meanYield, dryBeforeRain, dryBeforeLate } = judgedWide(WIDE, policy)
  return [name, ...[meanYield, dryBeforeRain, dryBeforeLate].map((part) => (100 * part).toFixed(1))]
})
const wideHeads = ['policy', 'mean yield', 'dry before the rain', 'dry before the late day']
printTable(`For the drinking water: ${WIDE.length} seasons, per cent`, wideHeads, wideRows)
