import { sum } from '../../sum.ts'
import { type FallSense, senseOfFall } from '../loss/recession.ts'
import { type LevelVolumeRow, type SandBody, withLevelVolumeTable } from '../sand/body.ts'
import { likelyStorageM3, stageStorageCurve } from '../sand/storage.ts'
import { type BandFit, type CalibrationStretch, dryRuns, type FallRun, fitBands } from './fit.ts'

type CalibrationRefusal =
  | 'fewer-than-ten-readings'
  | 'less-than-20-cm-of-fall'
  | 'nothing-drawn'
  | 'cannot-tell-loss-from-yield'

interface CalibratedBand {
  fromLevelM: number
  toLevelM: number
  /** Mean of the band, with its standard error. */
  m3PerCm: number
  standardErrorM3PerCm: number
  /** How many times what the present curve says. */
  factor: number
}

export type Calibration =
  | { refused: CalibrationRefusal[]; readings: number; fallCm: number }
  | {
      refused: null
      readings: number
      fallCm: number
      bands: CalibratedBand[]
      loss: { fallCmPerDay: number; standardErrorCmPerDay: number; sense: FallSense }
      /** What the readings still miss the fitted line by. */
      residualCm: number
      /** The proposed table; the committee accepts or declines it with two names. */
      rows: LevelVolumeRow[]
      proposedBody: SandBody
    }

const READINGS_NEEDED = 10
const FALL_NEEDED_CM = 20
const BAND_M = 0.35
const MOST_BANDS = 3
const STRONG_EVIDENCE = 6
/** Eight times in ten the truth lies within so many standard errors of the fit; the doubt of the reading comes on top. */
const EIGHT_IN_TEN = 1.282
/** Sand that no reading has reached is taken to be like the nearest that was, this much more in doubt (no source). */
const UNREAD_DOUBT = 0.2

/**
 * Corrects a weir's level-volume curve and its loss from dawn readings beside pumped volumes. Joint fit over dry
 * stretches of the present curve's factor by level band and of the fall without pumping, with standard errors; see
 * `fitBands`. It needs ten readings and 20 cm of fall, and pumping that varied or rests of several days; without
 * those loss and yield draw the same line, and it says so. `meterErrorShare` is how far all volumes together may be off.
 */
export function calibrateCurve({
  body,
  stretches,
  meterErrorShare = 0.05,
}: {
  body: SandBody
  stretches: readonly CalibrationStretch[]
  meterErrorShare?: number
}): Calibration {
  const runs = dryRuns(stretches)
  const readings = sum(runs, (run) => run.levelsM.length)
  const fallCm = 100 * runs.reduce((sum, run) => sum + run.levelsM[0]! - run.levelsM.at(-1)!, 0)
  const refused = refusals(runs, readings, fallCm)
  if (refused.length > 0) return { refused, readings, fallCm }
  const fit = tightestFit(body, runs)
  if (!fit) return { refused: ['cannot-tell-loss-from-yield'], readings, fallCm }
  const rows = tableRows(body, fit, meterErrorShare)
  return {
    refused: null,
    readings,
    fallCm,
    bands: fit.factors.map((factor, i) => calibratedBand(body, fit, factor, i)),
    loss: {
      fallCmPerDay: fit.lossCmPerDay,
      standardErrorCmPerDay: fit.lossStandardErrorCmPerDay,
      sense: senseOfFall(fit.lossCmPerDay, fit.lossStandardErrorCmPerDay),
    },
    residualCm: fit.residualCm,
    rows,
    proposedBody: withLevelVolumeTable({ body, rows, grade: 'calibrated' }),
  }
}

function refusals(runs: FallRun[], readings: number, fallCm: number): CalibrationRefusal[] {
  const reasons: CalibrationRefusal[] = []
  if (readings < READINGS_NEEDED) reasons.push('fewer-than-ten-readings')
  if (!(fallCm >= FALL_NEEDED_CM)) reasons.push('less-than-20-cm-of-fall')
  if (!runs.some((run) => run.stretches.some((stretch) => stretch.netDrawnM3 > 0))) reasons.push('nothing-drawn')
  else if (!pumpingVaried(runs)) reasons.push('cannot-tell-loss-from-yield')
  return reasons
}

/** Rests of several days, or daily volumes that spread by at least three tenths of their mean. */
function pumpingVaried(runs: FallRun[]): boolean {
  const all = runs.flatMap((run) => run.stretches)
  const days = sum(all, (stretch) => stretch.days)
  const meanM3 = sum(all, (stretch) => stretch.netDrawnM3) / days
  const restDays = sum(
    all.filter((s) => s.netDrawnM3 / s.days < 0.1 * meanM3),
    (s) => s.days,
  )
  const variance = sum(all, (s) => s.days * (s.netDrawnM3 / s.days - meanM3) ** 2) / days
  return restDays >= 5 || Math.sqrt(variance) >= 0.3 * meanM3
}

/**
 * As many bands as the readings call for: the fit with the least of squared misses in centimetres plus the usual price of
 * each unknown, ln(readings) (Schwarz 1978, Annals of Statistics 6:461, with a reading error of one centimetre); more bands
 * only on strong evidence, a gain of six (Kass and Raftery 1995, J. American Statistical Association 90:773, memory).
 * A single band must be known to an eighth, each of several to a fifth, or the fit says nothing.
 */
function tightestFit(body: SandBody, runs: FallRun[]): BandFit | null {
  const levelsM = runs.flatMap((run) => run.levelsM)
  const [lowestM, highestM] = [Math.min(...levelsM), Math.max(...levelsM)]
  const most = Math.min(MOST_BANDS, Math.max(1, Math.floor((highestM - lowestM) / BAND_M)))
  let best: { fit: BandFit; cost: number } | null = null
  for (let bands = 1; bands <= most; bands++) {
    const edgesM = Array.from({ length: bands + 1 }, (_, i) => lowestM + ((highestM - lowestM) * i) / bands)
    const fit = fitBands({ body, runs, edgesM })
    if (!fit) continue
    const cost = fit.missesSquaredCm2 + bands * Math.log(levelsM.length)
    if (!best || cost < best.cost - STRONG_EVIDENCE) best = { fit, cost }
  }
  return best && isTight(best.fit) ? best.fit : null
}

function isTight({ factors, standardErrors }: BandFit): boolean {
  const most = factors.length > 1 ? 0.2 : 0.125
  return standardErrors.every((error, i) => error < most * factors[i]!)
}

function calibratedBand(body: SandBody, fit: BandFit, factor: number, i: number): CalibratedBand {
  const [fromLevelM, toLevelM] = [fit.edgesM[i]!, fit.edgesM[i + 1]!]
  const curveM3PerCm =
    (likelyStorageM3(body, toLevelM) - likelyStorageM3(body, fromLevelM)) / (100 * (toLevelM - fromLevelM))
  return {
    fromLevelM,
    toLevelM,
    factor,
    m3PerCm: factor * curveM3PerCm,
    standardErrorM3PerCm: fit.standardErrors[i]! * curveM3PerCm,
  }
}

/**
 * The table that follows: band by band the present curve's rise times the factor. Where no reading has been, above and
 * below, the nearest factor counts with more doubt.
 */
function tableRows(body: SandBody, fit: BandFit, meterErrorShare: number): LevelVolumeRow[] {
  const total = { lowM3: 0, likelyM3: 0, highM3: 0 }
  const levelsM = [...new Set([...stageStorageCurve({ body }).map((row) => row.levelM), ...fit.edgesM])]
    .filter((levelM) => body.bedLevelM <= levelM && levelM <= body.crestLevelM)
    .sort((a, b) => a - b)
  return levelsM.map((levelM, i) => {
    if (i > 0) {
      const { factor, doubt } = factorAt(fit, (levelM + levelsM[i - 1]!) / 2, meterErrorShare)
      const likelyM3 = factor * (likelyStorageM3(body, levelM) - likelyStorageM3(body, levelsM[i - 1]!))
      total.lowM3 += likelyM3 * (1 - doubt)
      total.likelyM3 += likelyM3
      total.highM3 += likelyM3 * (1 + doubt)
    }
    return { levelM, ...total }
  })
}

function factorAt(fit: BandFit, levelM: number, meterErrorShare: number): { factor: number; doubt: number } {
  const band = fit.edgesM.slice(1, -1).filter((edgeM) => edgeM < levelM).length
  const factor = fit.factors[band]!
  const wasRead = fit.edgesM[0]! < levelM && levelM < fit.edgesM.at(-1)!
  const fitDoubt = (EIGHT_IN_TEN * fit.standardErrors[band]!) / factor
  return { factor, doubt: Math.min(0.95, Math.hypot(fitDoubt, meterErrorShare, wasRead ? 0 : UNREAD_DOUBT)) }
}
