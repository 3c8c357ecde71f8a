import type { CalendarDate } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { dailyLossM3 } from '../../../domain/water/loss/loss.ts'
import {
  fitRecession,
  type LossParts,
  lossParts,
  type Rest,
  type RestFall,
} from '../../../domain/water/loss/recession.ts'
import { sandEvaporationMm } from '../../../domain/water/loss/sand-evaporation.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import {
  type BodyAtLevel,
  drainableStorageM3,
  likelyStorageM3,
  saturatedVolumeM3,
  waterLevelForStorageM,
} from '../../../domain/water/sand/storage.ts'
import type { BookStretch } from '../calibration/book.ts'

/** Open water gives off a little more than the reference grass. FAO-56, table 12, open water: 1.05; status: memory. */
export const OPEN_WATER_OVER_REFERENCE = 1.05

export interface BookRest extends Rest {
  fromOn: CalendarDate
  toOn: CalendarDate
  fallCm: number
  handDrawnM3: M3
}

/** A careful reading errs by about a centimetre, so putting back no more than that hides nothing. */
const PUT_BACK_ALWAYS_CM = 1

/**
 * Dry stretches without pumping or irrigation. What people drew by hand meanwhile is put back through the curve, so that
 * only the sand's own fall is left; where that is more than half of the fall the rest says nothing and is left out,
 * since a wrong curve would be taken for a loss.
 */
export function restsOf(stretches: readonly BookStretch[], body: SandBody): BookRest[] {
  return stretches
    .filter(({ kind, drawnM3, handDrawnM3 }) => kind === 'dry' && drawnM3 - handDrawnM3 < 1e-9)
    .flatMap(({ fromOn, toOn, days, openingLevelM, closingLevelM, handDrawnM3 }) => {
      const endLevelM = handDrawnM3 > 0 ? levelWithBackM(body, closingLevelM, handDrawnM3) : closingLevelM
      const fallCm = 100 * (openingLevelM - endLevelM)
      const putBackCm = 100 * (endLevelM - closingLevelM)
      const mostCm = Math.max(PUT_BACK_ALWAYS_CM, Math.abs(openingLevelM - closingLevelM) * 50)
      return putBackCm > mostCm
        ? []
        : [{ fromOn, toOn, days, startLevelM: openingLevelM, endLevelM, fallCm, handDrawnM3 }]
    })
}

function levelWithBackM(body: SandBody, waterLevelM: number, volumeM3: M3): number {
  const storageM3 = drainableStorageM3({ body, waterLevelM }).likelyM3 + volumeM3
  return waterLevelForStorageM({ body, storageM3 }) ?? body.crestLevelM
}

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
}

/** The sand's own fall and its parts; null while no rest is in the book. `referenceMm` is the mean a day, null unknown. */
export function lossFound(
  rests: readonly BookRest[],
  { body, referenceMm }: { body: SandBody; referenceMm: number | null },
): SandLossFound | null {
  const fall = fitRecession({ rests, stopLevelM: body.bedLevelM })
  if (!fall) return null
  const weighted = sum(rests, (rest) => ((rest.startLevelM + rest.endLevelM) / 2) * rest.days)
  const meanLevelM = weighted / fall.restDays
  const waterTableDepthM = body.crestLevelM - meanLevelM
  const specificYield = yieldAt({ body, waterLevelM: meanLevelM })
  const openWaterMm = referenceMm === null ? null : referenceMm * OPEN_WATER_OVER_REFERENCE
  const evaporationMm = openWaterMm === null ? null : sandEvaporationMm({ openWaterMm, waterTableDepthM })
  const { fallCmPerDay } = fall
  return {
    fall,
    meanLevelM,
    waterTableDepthM,
    specificYield,
    dailyLossM3: dailyLossM3({ body, waterLevelM: meanLevelM, loss: { fallCmPerDay } }),
    openWaterMm,
    sandEvaporationMm: evaporationMm,
    parts:
      evaporationMm === null || !(specificYield > 0 && specificYield < 1)
        ? null
        : lossParts({ fallCmPerDay, sandEvaporationMmPerDay: evaporationMm, specificYield }),
  }
}

/** Water over wet sand in the centimetre under a level, so that an accepted table counts. */
function yieldAt({ body, waterLevelM }: BodyAtLevel): number {
  const lower = waterLevelM - 0.01
  const sandM3 = saturatedVolumeM3({ body, waterLevelM }) - saturatedVolumeM3({ body, waterLevelM: lower })
  return sandM3 > 0 ? (likelyStorageM3(body, waterLevelM) - likelyStorageM3(body, lower)) / sandM3 : 0
}
