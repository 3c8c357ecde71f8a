import '../../server/runtime.ts'

import { before, beforeWide } from './before.ts'
import { oursWide } from './drinking/ours.ts'
import { judgedWide, type WidePolicy, wideSeason } from './drinking/stores.ts'
import { equalHours, noReserve } from './harvest/habits.ts'
import { ours, oursWith, type Settings } from './harvest/ours.ts'
import { perfectKnowledge } from './harvest/perfect.ts'
import { HEADS, judged, KINDS, rowOf, tableLines } from './table.ts'

/**
 * Whole seasons in true worlds, judged by their harvest and by the drinking water: `npm run bench:loop`. By seeds from
 * 1000 on no formula and no default was chosen; those below are for that.
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

/** One term at a time taken back or pushed further; what it gains or loses is shown in points of the mean yield. */
const TERMS: Record<string, Partial<Settings>> = {
  'loss from the mean rest, half by head': { loss: 'mean rest' },
  'no look back at what was lost': { looksBack: false },
  'a share rises freely': { holdsRise: false },
  'one turn a week at most': { mostTurns: 1 },
  'three turns a week at most': { mostTurns: 3 },
  'no drinking kept beyond the late day': { extraWeeks: 0 },
  'four weeks kept beyond it': { extraWeeks: 4 },
  'eight weeks kept beyond it': { extraWeeks: 8 },
}

function printTable(title: string, heads: readonly string[], rows: readonly string[][]): void {
  console.log(`\n${title}`)
  for (const line of tableLines(heads, rows)) console.log(line)
}

for (const kind of KINDS) {
  const rows = Object.entries(POLICIES).map(([name, policyOf]) => rowOf(name, judged(kind, JUDGING, policyOf)))
  printTable(`For the harvest: ${kind}, ${JUDGING.length} seasons, per cent`, ['policy', ...HEADS], rows)
}

const wideRow = (name: string, policy: WidePolicy): string[] => {
  const { meanYield, dryBeforeRain, dryBeforeLate } = judgedWide(WIDE, policy)
  return [name, ...[meanYield, dryBeforeRain, dryBeforeLate].map((part) => (100 * part).toFixed(1))]
}
const wideRows = [
  wideRow('before', beforeWide),
  wideRow('ours', oursWide()),
  ...Object.entries(TERMS)
    .filter(([, { mostTurns }]) => mostTurns === undefined)
    .map(([name, changed]) => wideRow(name, oursWide(changed))),
]
const wideHeads = ['policy', 'mean yield', 'dry before the rain', 'dry before the late day']
printTable(`For the drinking water: ${WIDE.length} seasons, per cent`, wideHeads, wideRows)

const SOME = JUDGING.slice(0, 8)
const yieldsOf = (changed: Partial<Settings>) =>
  KINDS.map((kind) => 100 * judged(kind, SOME, () => oursWith(changed)).meanYield)
const asItIs = yieldsOf({})
const termRows = Object.entries(TERMS).map(([name, changed]) => [
  name,
  ...yieldsOf(changed).map((one, at) => (one - asItIs[at]!).toFixed(1)),
])
printTable(`Points of mean yield against ours, ${SOME.length} seasons`, ['with', ...KINDS], termRows)
