import { DRINKING_FRONTIER } from '../../domain/water/data/drinking-frontier.ts'
import { beforeWide } from './before.ts'
import { frontierMisses, frontierRow, frontierSeasons } from './drinking/frontier.ts'
import { oursWide } from './drinking/ours.ts'
import { judgedWide, type WidePolicy, type WideSummary } from './drinking/stores.ts'
import type { ReleaseSettings } from './release.ts'
import { printTable } from './table.ts'

/** The drinking water over many stores: the second half of `npm run bench:loop`. By these seeds nothing was chosen. */
const SEASONS = frontierSeasons(DRINKING_FRONTIER.seasons)
const HEADS = [
  'mean yield',
  'dry before the rain',
  'on over 21 days',
  'dry before the late day',
  'with the rain in time',
  'with it six weeks late or later',
]

/** One term at a time taken back. */
const TERMS: Record<string, Partial<ReleaseSettings>> = {
  'loss from the mean rest, half by head': { loss: 'mean rest' },
  'no look back at what was lost': { looksBack: false },
  'a share rises freely': { holdsRise: false },
}

/** What the formula before comes to once it keeps as much for drinking as ours. */
const BEFORE_MADE_CAREFUL = [56, 112, 224]

/** Harvest against drinking water; what the group reads where it chooses its caution: domain/water/data/drinking-frontier.ts. */
const WEEKS_KEPT = DRINKING_FRONTIER.rows.map(({ extraWeeks }) => extraWeeks)

function row(name: string, summary: WideSummary): string[] {
  const { meanYield, dryBeforeRain, dryBeyondFetching, dryBeforeLate, dryOnTime, drySixWeeksLate } = summary
  const parts = [meanYield, dryBeforeRain, dryBeyondFetching, dryBeforeLate, dryOnTime, drySixWeeksLate]
  return [name, ...parts.map((part) => (100 * part).toFixed(1))]
}

const judged = (policy: WidePolicy) => judgedWide(SEASONS, policy)
const policies = [
  row('before', judged(beforeWide())),
  ...BEFORE_MADE_CAREFUL.map((days) => row(`before, ${days} days more kept`, judged(beforeWide(days)))),
  row('ours', judged(oursWide())),
  ...Object.entries(TERMS).map(([name, changed]) => row(name, judged(oursWide(changed)))),
]
const kept = WEEKS_KEPT.map((extraWeeks) => ({ extraWeeks, summary: judged(oursWide({ extraWeeks })) }))
const frontier = kept.map(({ extraWeeks, summary }) => row(String(extraWeeks), summary))
printTable(`For the drinking water: ${SEASONS.length} seasons, per cent`, ['policy', ...HEADS], policies)
printTable('The same by weeks of drinking kept beyond the late day', ['weeks', ...HEADS], frontier)
const misses = frontierMisses(kept.map(({ extraWeeks, summary }) => frontierRow(extraWeeks, summary)))
for (const line of misses) console.error(line)
process.exitCode = misses.length > 0 ? 1 : 0
