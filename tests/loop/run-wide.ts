import '../../server/runtime.ts'

import { beforeWide } from './before.ts'
import { oursWide } from './drinking/ours.ts'
import { judgedWide, type WidePolicy, wideSeason } from './drinking/stores.ts'
import type { ReleaseSettings } from './release.ts'
import { printTable } from './table.ts'

/** The drinking water over many stores: the second half of `npm run bench:loop`. By these seeds nothing was chosen. */
const SEASONS = Array.from({ length: 1500 }, (_, at) => wideSeason(10000 + at))
const HEADS = ['mean yield', 'dry before the rain', 'on over 21 days', 'dry before the late day']

/** One term at a time taken back. */
const TERMS: Record<string, Partial<ReleaseSettings>> = {
  'loss from the mean rest, half by head': { loss: 'mean rest' },
  'no look back at what was lost': { looksBack: false },
  'a share rises freely': { holdsRise: false },
}

/** Harvest against drinking water; what the group reads where it chooses its caution: domain/water/data/drinking-frontier.ts. */
const WEEKS_KEPT = [0, 1, 2, 3, 4, 6, 8]

function row(name: string, policy: WidePolicy): string[] {
  const { meanYield, dryBeforeRain, dryBeyondFetching, dryBeforeLate } = judgedWide(SEASONS, policy)
  return [name, ...[meanYield, dryBeforeRain, dryBeyondFetching, dryBeforeLate].map((part) => (100 * part).toFixed(1))]
}

const policies = [
  row('before', beforeWide),
  row('ours', oursWide()),
  ...Object.entries(TERMS).map(([name, changed]) => row(name, oursWide(changed))),
]
const frontier = WEEKS_KEPT.map((extraWeeks) => row(String(extraWeeks), oursWide({ extraWeeks })))
printTable(`For the drinking water: ${SEASONS.length} seasons, per cent`, ['policy', ...HEADS], policies)
printTable('The same by weeks of drinking kept beyond the late day', ['weeks', ...HEADS], frontier)
