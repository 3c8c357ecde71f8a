import { seededRandom } from '../../domain/random.ts'
import { specificYieldOf } from '../../domain/water/data/specific-yield.ts'
import { safeWeeklyAbstractionM3, storageOutlook } from '../../domain/water/outlook/outlook.ts'
import type { OutlookInput, OutlookWeir } from '../../domain/water/outlook/traces.ts'
import { wedgeSandBody } from '../../domain/water/sand/body.ts'

const WEIRS = 10
const TRACES = 1000

/** A thousand seasons of five months for ten weirs in a row, each feeding the next. */
export async function run(): Promise<string[]> {
  const input = tenWeirs()
  const started = performance.now()
  const outlook = storageOutlook(input)
  const outlookMs = performance.now() - started
  const safe = input.weirs.map(({ weirId }) => safeWeeklyAbstractionM3({ ...input, weirId }))
  const safeMs = performance.now() - started - outlookMs
  if (outlook.cannotSay || safe.some(({ cannotSay }) => cannotSay)) throw new Error('the outlook said nothing')
  return [
    `outlook, ${TRACES} traces over a season for ${WEIRS} weirs: ${Math.round(outlookMs)} ms (goal: within 2000 ms)`,
    `largest steady weekly volume of each of ${WEIRS} weirs: ${Math.round(safeMs)} ms`,
  ]
}

function tenWeirs(): OutlookInput {
  const random = seededRandom(11)
  const rainYears = Array.from({ length: 14 }, (_, year) => ({
    name: String(2001 + year),
    rainMm: Array.from({ length: 365 }, (_, day) => (day > 280 && random() < 0.2 ? 40 * random() : 0)),
  }))
  const weirs = Array.from({ length: WEIRS }, (_, at) => weirOf(at))
  return {
    weirs,
    today: '2025-07-01',
    seasonEndOn: '2025-11-30',
    lateRainOn: '2025-12-01',
    rainYears,
    seed: 5,
    traces: TRACES,
  }
}

function weirOf(at: number): OutlookWeir {
  return {
    weirId: `weir-${at}`,
    feedsWeirId: at + 1 < WEIRS ? `weir-${at + 1}` : null,
    body: wedgeSandBody({
      crestHeightM: 2,
      crestWidthM: 15,
      bedSlope: 0.006,
      valleyShape: 'parabola',
      crestLevelM: 100,
      specificYield: specificYieldOf('medium-sand'),
    }),
    offTakeLevelM: 98.3,
    waterLevelM: 99.7,
    levelErrorCm: 2,
    loss: { fallCmPerDay: 0.1, measuredAtLevelM: 99.7 },
    rise: 1,
    extraWeeks: 4,
    leakShare: 0.3,
    dailyDrinkingM3: 0.5,
    weeklyIrrigationM3: 8,
    rechargeM3PerMm: 1.5,
    rechargeFromMm: 8,
  }
}
