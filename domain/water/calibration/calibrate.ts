import { sum } from '../../sum.ts'
import { type FallSense, senseOfFall } from '../loss/recession.ts'
import { type LevelVolumeRow, type SandBody, withLevelVolumeTable } from '../sand/body.ts'
import { likelyStorageM3, stageStorageCurve } from '../sand/storage.ts'
import { at, factoredCurve, fallByLossM, type Sought } from './falling.ts'
import { fitStore, type StoreFit } from './fit.ts'
import { type CalibrationStretch, dryRuns, type FallRun } from './runs.ts'

type CalibrationRefusal =
  | 'fewer-than-ten-readings'
  | 'less-than-20-cm-of-fall'
  | 'nothing-drawn'
  | 'log-and-meter-differ'
  | 'cannot-tell-loss-from-yield'
  | 'readings-scatter'

interface CalibratedBand {
  fromLevelM: number
  toLevelM: number
  /** Readings within; a band with none stays as doubtful as it was. */
  readings: number
  /** Mean of the band, with its standard error. */
  m3PerCm: number
  standardErrorM3PerCm: number
  /** How many times what the present curve says. */
  factor: number
}

interface CalibratedLoss {
  /** Mean over the days of the stretches. */
  fallCmPerDay: number
  standardErrorCmPerDay: number
  sense: FallSense
}

export type Calibration =
  | { refused: CalibrationRefusal[]; readings: number; fallCm: number; mostHalfWidth: number }
  | {
      refused: null
      readings: number
      fallCm: number
      bands: CalibratedBand[]
      loss: CalibratedLoss
      /** What the readings still miss the fitted line by. */
      residualCm: number
      /** Half of the range at the highest reading, as a part of what stands above the lowest. */
      halfWidth: number
      /** Whether the pump meters agree with the log; null where no meter was read, so that all rests on the log. */
      meterAgrees: true | null
      /** The proposed table; the committee accepts or declines it with two names. */
      rows: LevelVolumeRow[]
      proposedBody: SandBody
    }

const READINGS_NEEDED = 10
const FALL_NEEDED_CM = 20
/** What taking levels in metres from each other leaves of rounding: twenty centimetres by the stick are twenty. */
const HAIR_CM = 1e-6
/** Nine times in ten the truth lies within so many deviations of a normal law. */
const NINE_IN_TEN = 1.645
/** What no misfit of the season shows: found so that in simulated seasons nine ranges of ten held the truth. */
const UNSEEN_MISFIT = 1.18
const IN_RANGE = NINE_IN_TEN * UNSEEN_MISFIT
/** Deviation of what stands above the lowest reading, as height: factors go in steps and sand does not. Found likewise. */
const DOUBT_OF_SHAPE_M = 0.02
/**
 * A table in more doubt than this is not worth a change: two thirds of what the present one leaves open, which is half to twice
 * where it is guessed and two thirds to one and a half times where it was probed. Own choice; what surveys leave: common
 * practice, no source.
 */
const MOST_HALF_WIDTH = { guessed: 0.5, probed: 0.4, calibrated: 0.3 }
/** Where the pump hardly ever rested, what is expected of the loss says more than the book, and the least of these counts. */
const MOST_WITHOUT_RESTS = 0.3
/** So many days on which less than so large a part of the usual was drawn are rests. Own choice, no source. */
const RESTS_NEEDED_DAYS = 10
const RESTED_PART = 0.35
/** Log and pump meters that tell another store by more than this cannot both be whole: two meters' errors. */
const METER_AND_LOG = 0.1
/** In place of weather that nobody wrote; evaporation is in doubt by two fifths in any case. */
const USUAL_OPEN_WATER_MM = 6

/**
 * Corrects a weir's level-volume curve from dawn readings beside pumped volumes, and tells its losses; see `fitStore`.
 * The range of the table is meant to hold the truth nine times in ten. It needs ten readings and 20 cm of fall in dry
 * stretches, and refuses where half of the range is more than half of the likely (guessed), four or three tenths (probed,
 * calibrated; three where the pump hardly rested), naming what would narrow it: rests of the pump where the loss is what
 * hides the yield, else more readings. Nobody can see a draw that was not logged, so the table holds if all was;
 * `meterTimes`, what the pumps' meters showed over what their turns add up to, is tried beside
 * the log, and where the two tell another store neither counts. `openWaterMm` a day, null where no weather is written.
 */
export function calibrateCurve(input: {
  body: SandBody
  stretches: readonly CalibrationStretch[]
  openWaterMm?: number | null
  meterTimes?: number | null
}): Calibration {
  const { body, stretches, meterTimes = null } = input
  const openWaterMm = input.openWaterMm ?? USUAL_OPEN_WATER_MM
  const runs = dryRuns(stretches)
  const readings = sum(runs, (run) => run.levelsM.length)
  const fallCm = 100 * sum(runs, (run) => run.levelsM[0]! - run.levelsM.at(-1)!)
  const mostHalfWidth = restedDays(runs) < RESTS_NEEDED_DAYS ? MOST_WITHOUT_RESTS : MOST_HALF_WIDTH[body.grade]
  const refuse = (refused: CalibrationRefusal[]) => ({ refused, readings, fallCm, mostHalfWidth })
  const missing = whatIsMissing(runs, readings, fallCm)
  if (missing.length > 0) return refuse(missing)
  const fit = fitStore({ body, runs, openWaterMm })
  if (!fit) return refuse(['readings-scatter'])
  const span = spanOf(runs, body)
  if (meterTimes !== null) {
    const byMeter = fitStore({ body, runs: timesDrawn(runs, meterTimes), openWaterMm })
    const apart = byMeter && span.logM3(byMeter)(byMeter.sought) - span.logM3(fit)(fit.sought)
    if (apart === null || Math.abs(apart) > METER_AND_LOG) return refuse(['log-and-meter-differ'])
  }
  const halfWidth = halfWidthOf(fit.deviationOf(span.logM3(fit)))
  if (halfWidth > mostHalfWidth) {
    const wouldDo = halfWidthOf(fit.deviationWithLossKnown(span.logM3(fit))) <= mostHalfWidth
    return refuse([wouldDo ? 'cannot-tell-loss-from-yield' : 'readings-scatter'])
  }
  const rows = tableRows(body, fit, span.lowestM)
  return {
    refused: null,
    readings,
    fallCm,
    bands: bandsOf(body, fit, runs),
    loss: lossOf(fit, runs),
    residualCm: fit.residualCm,
    halfWidth,
    meterAgrees: meterTimes === null ? null : true,
    rows,
    proposedBody: withLevelVolumeTable({ body, rows, grade: 'calibrated' }),
  }
}

function whatIsMissing(runs: readonly FallRun[], readings: number, fallCm: number): CalibrationRefusal[] {
  const missing: CalibrationRefusal[] = []
  if (readings < READINGS_NEEDED) missing.push('fewer-than-ten-readings')
  if (!(fallCm >= FALL_NEEDED_CM - HAIR_CM)) missing.push('less-than-20-cm-of-fall')
  if (!runs.some((run) => run.stretches.some(({ netDrawnM3 }) => netDrawnM3 > 0))) missing.push('nothing-drawn')
  return missing
}

function restedDays(runs: readonly FallRun[]): number {
  const stretches = runs.flatMap((run) => run.stretches)
  const usualM3 = sum(stretches, ({ netDrawnM3 }) => netDrawnM3) / sum(stretches, ({ days }) => days)
  return sum(stretches, ({ days, netDrawnM3 }) => (netDrawnM3 / days < RESTED_PART * usualM3 ? days : 0))
}

function timesDrawn(runs: readonly FallRun[], times: number): FallRun[] {
  const drawnTimes = ({ days, netDrawnM3 }: FallRun['stretches'][number]) => ({ days, netDrawnM3: times * netDrawnM3 })
  return runs.map(({ levelsM, stretches }) => ({ levelsM, stretches: stretches.map(drawnTimes) }))
}

/** What the readings saw: the water between the lowest and the highest of them. */
function spanOf(runs: readonly FallRun[], { bedLevelM, crestLevelM }: SandBody) {
  const levelsM = runs.flatMap((run) => run.levelsM).map((m) => Math.min(Math.max(m, bedLevelM), crestLevelM))
  const [lowestM, highestM] = [Math.min(...levelsM), Math.max(...levelsM)]
  const logM3 = (fit: StoreFit) => (sought: Sought) => Math.log(betweenM3(fit, sought, lowestM, highestM))
  return { lowestM, logM3 }
}

function halfWidthOf(logDeviation: number): number {
  return Math.sinh(IN_RANGE * logDeviation)
}

function betweenM3({ curve }: StoreFit, { factors }: Sought, fromM: number, toM: number): number {
  const factored = factoredCurve(curve, factors)
  return Math.max(at(curve, factored, toM) - at(curve, factored, fromM), 1e-9)
}

function bandsOf(body: SandBody, fit: StoreFit, runs: readonly FallRun[]): CalibratedBand[] {
  // One on the edge of two bands is a reading of the upper; at the crest there is none above.
  const bandAt = (levelM: number) => fit.edgesM.slice(0, -1).findLastIndex((edgeM) => edgeM <= levelM)
  const bandsRead = runs.flatMap((run) => run.levelsM.map(bandAt))
  return fit.sought.factors.map((factor, i) => {
    const [fromLevelM, toLevelM] = [fit.edgesM[i]!, fit.edgesM[i + 1]!]
    const riseM3 = likelyStorageM3(body, toLevelM) - likelyStorageM3(body, fromLevelM)
    const curveM3PerCm = riseM3 / (100 * (toLevelM - fromLevelM))
    return {
      fromLevelM,
      toLevelM,
      readings: bandsRead.filter((band) => band === i).length,
      factor,
      m3PerCm: factor * curveM3PerCm,
      standardErrorM3PerCm: fit.deviationOf(({ factors }) => factors[i]!) * curveM3PerCm,
    }
  })
}

function lossOf(fit: StoreFit, runs: readonly FallRun[]): CalibratedLoss {
  const days = sum(runs.flatMap(({ stretches }) => stretches.map((stretch) => stretch.days)))
  const meanCm = (sought: Sought) => {
    const fallM = fallByLossM(fit.curve, sought)
    const cm = runs.flatMap(({ levelsM, stretches }) =>
      stretches.map((one, i) => 100 * one.days * at(fit.curve, fallM, (levelsM[i]! + levelsM[i + 1]!) / 2)),
    )
    return sum(cm) / days
  }
  const [fallCmPerDay, standardErrorCmPerDay] = [meanCm(fit.sought), fit.deviationOf(meanCm)]
  return { fallCmPerDay, standardErrorCmPerDay, sense: senseOfFall(fallCmPerDay, standardErrorCmPerDay) }
}

/**
 * The table that follows. Above the lowest reading its range is that of the water above that reading, laid on what may
 * stand below; below it nothing was read, and the range is as wide as it was expected to be.
 */
function tableRows(body: SandBody, fit: StoreFit, lowestM: number): LevelVolumeRow[] {
  const levelsM = [...new Set([...stageStorageCurve({ body }).map((row) => row.levelM), ...fit.edgesM, lowestM])]
    .filter((levelM) => body.bedLevelM <= levelM && levelM <= body.crestLevelM)
    .sort((a, b) => a - b)
  const ranged = (fromM: number, toM: number) => {
    const m3 = (sought: Sought) => betweenM3(fit, sought, fromM, toM)
    const likelyM3 = m3(fit.sought)
    const byFit = IN_RANGE * fit.deviationOf((sought) => Math.log(m3(sought)))
    // As so much of height more or less: close to the lowest reading it must not run away.
    const byShape = fromM < lowestM ? 0 : Math.log1p((NINE_IN_TEN * DOUBT_OF_SHAPE_M) / (toM - fromM))
    const spread = Math.exp(Math.hypot(byFit, byShape))
    return { lowM3: likelyM3 / spread, likelyM3, highM3: likelyM3 * spread }
  }
  const below = lowestM > body.bedLevelM ? ranged(body.bedLevelM, lowestM) : { lowM3: 0, likelyM3: 0, highM3: 0 }
  let last = { lowM3: 0, likelyM3: 0, highM3: 0 }
  return levelsM.map((levelM) => {
    if (levelM > body.bedLevelM) {
      const base = levelM > lowestM ? below : { lowM3: 0, likelyM3: 0, highM3: 0 }
      const own = ranged(levelM > lowestM ? lowestM : body.bedLevelM, levelM)
      last = {
        lowM3: Math.max(last.lowM3, base.lowM3 + own.lowM3),
        likelyM3: Math.max(last.likelyM3, base.likelyM3 + own.likelyM3),
        highM3: Math.max(last.highM3, base.highM3 + own.highM3),
      }
    }
    return { levelM, ...last }
  })
}
