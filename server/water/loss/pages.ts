import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { dailyLossM3 } from '../../../domain/water/loss/loss.ts'
import {
  type FallSense,
  fitRecession,
  type LossParts,
  lossParts,
  type RestFall,
  senseOfFall,
} from '../../../domain/water/loss/recession.ts'
import type { BookRest } from '../../../domain/water/loss/rests.ts'
import { sandEvaporationMm } from '../../../domain/water/loss/sand-evaporation.ts'
import { type FittedLoss, fittedLoss } from '../../../domain/water/path/loss-from-rests.ts'
import { levelCurve } from '../../../domain/water/path/store.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import { type BodyAtLevel, likelyStorageM3, saturatedVolumeM3 } from '../../../domain/water/sand/storage.ts'
import { levelsOf } from '../sand/description.ts'
import type { WaterState } from '../storage/state.ts'

interface SandLossFound {
  fall: RestFall
  /** Mean level of the rests, and the depth of the water below the sand at the wall. */
  meanLevelM: number
  waterTableDepthM: number
  specificYield: number
  /** The same fall as a volume at that level. */
  dailyLossM3: M3
  openWaterMm: number | null
  sandEvaporationMm: number | null
  /** Null without the weather of those days, or with water standing on the sand. */
  parts: LossParts | null
  /** What the part beside evaporation says; its doubt is that of the fall and two fifths of the evaporation. */
  remainderSense: FallSense
}

/** Evaporation from the sand against the quoted curve (ours). */
const EVAPORATION_DOUBT = 0.4

/** The sand's own fall and its parts; null while no rest is in the book. `openWaterMm` is the mean a day, null unknown. */
export function lossFound(
  rests: readonly BookRest[],
  { body, openWaterMm }: { body: SandBody; openWaterMm: number | null },
): SandLossFound | null {
  const fall = fitRecession({ rests, stopLevelM: body.bedLevelM })
  if (!fall) return null
  const weighted = sum(rests, (rest) => ((rest.startLevelM + rest.endLevelM) / 2) * rest.days)
  const meanLevelM = weighted / fall.restDays
  const waterTableDepthM = body.crestLevelM - meanLevelM
  const specificYield = yieldAt({ body, waterLevelM: meanLevelM })
  const evaporationMm = openWaterMm === null ? null : sandEvaporationMm({ openWaterMm, waterTableDepthM })
  const { fallCmPerDay } = fall
  const parts =
    evaporationMm === null || !(specificYield > 0 && specificYield < 1)
      ? null
      : lossParts({ fallCmPerDay, sandEvaporationMmPerDay: evaporationMm, specificYield })
  return {
    fall,
    meanLevelM,
    waterTableDepthM,
    specificYield,
    dailyLossM3: dailyLossM3({ body, waterLevelM: meanLevelM, loss: { fallCmPerDay } }),
    openWaterMm,
    sandEvaporationMm: evaporationMm,
    parts,
    remainderSense: parts ? remainderSense(parts, fall) : 'cannot-tell',
  }
}

function remainderSense({ evaporationCmPerDay, remainderCmPerDay }: LossParts, fall: RestFall): FallSense {
  const { standardErrorCmPerDay: error } = fall
  return senseOfFall(remainderCmPerDay, error && Math.hypot(error, EVAPORATION_DOUBT * evaporationCmPerDay))
}

interface LossAtLevel extends ReturnType<FittedLoss['at']> {
  levelM: number
  /** Of the line, where it is one that people know. */
  mark: 'crest' | 'now' | 'off-take' | null
}

interface LossOfPath extends Pick<FittedLoss, 'evaporationTimes' | 'evaporationDeviation'> {
  leakPerCent: number
  leakDoubtPerCent: number
  rests: number
  restDays: number
  /** The settled fall counts among them. */
  withSettled: boolean
  levels: LossAtLevel[]
}

/** Depths that the curve of evaporation names, m below the sand. */
const DEPTHS_M = [0.3, 0.6, 1]

/** What the path reckons with at each level; null where it does not follow from rests. */
export function lossOfPath({ loss, body, survey, storage, rests }: WaterState): LossOfPath | null {
  if (!loss || !body || !survey || !('rests' in loss)) return null
  const { at, evaporationTimes, evaporationDeviation, leakPart, leakDeviation } = fittedLoss(levelCurve(body), loss)
  const { offTakeLevelM } = levelsOf(survey)
  const lines: Pick<LossAtLevel, 'levelM' | 'mark'>[] = [
    { levelM: body.crestLevelM, mark: 'crest' },
    ...DEPTHS_M.map((depthM) => ({ levelM: body.crestLevelM - depthM, mark: null })),
    { levelM: offTakeLevelM, mark: 'off-take' },
    ...(storage.cannotSay || storage.aboveCrest ? [] : [{ levelM: storage.waterLevelM, mark: 'now' as const }]),
  ]
  return {
    evaporationTimes,
    evaporationDeviation,
    leakPerCent: 100 * leakPart,
    leakDoubtPerCent: 100 * leakDeviation,
    rests: rests.length,
    restDays: sum(rests, ({ days }) => days),
    withSettled: loss.rests.length > rests.length,
    levels: lines
      .filter(({ levelM }) => levelM >= Math.max(offTakeLevelM, body.bedLevelM))
      .sort((a, b) => b.levelM - a.levelM)
      .map((line) => ({ ...line, ...at(line.levelM) })),
  }
}

/** Water over wet sand in the centimetre under a level, so that an accepted table counts. */
function yieldAt({ body, waterLevelM }: BodyAtLevel): number {
  const lower = waterLevelM - 0.01
  const sandM3 = saturatedVolumeM3({ body, waterLevelM }) - saturatedVolumeM3({ body, waterLevelM: lower })
  return sandM3 > 0 ? (likelyStorageM3(body, waterLevelM) - likelyStorageM3(body, lower)) / sandM3 : 0
}
