import type { CalendarDate } from '../../calendar.ts'
import type { SandBody } from '../sand/body.ts'
import { drainableStorageM3, waterLevelForStorageM } from '../sand/storage.ts'
import type { Rest } from './recession.ts'

/** What the book shows between two settled readings. */
export interface RestStretch {
  kind: 'dry' | 'wet' | 'not-reckoned'
  fromOn: CalendarDate
  toOn: CalendarDate
  days: number
  openingLevelM: number
  closingLevelM: number
  /** Logged as drawn by a pump or for crops, m3. */
  pumpedM3: number
  /** Logged as drawn by hand for people and animals, m3. */
  handDrawnM3: number
}

export interface BookRest extends Rest {
  fromOn: CalendarDate
  toOn: CalendarDate
  fallCm: number
  handDrawnM3: number
}

/** A careful reading errs by about a centimetre, so putting back no more than that hides nothing. */
const PUT_BACK_ALWAYS_CM = 1
const LEAST_PUMPED_M3 = 1e-9

/**
 * The rests of a book: dry stretches without pumping or irrigation. What people drew by hand meanwhile is put back through
 * the curve, so that only the sand's own fall is left; where that is more than half of the fall the rest says nothing and
 * is left out, since a wrong curve would be taken for a loss. Levels in m, falls in cm. The half: own choice, no source.
 */
export function restsOf({ stretches, body }: { stretches: readonly RestStretch[]; body: SandBody }): BookRest[] {
  return stretches
    .filter(({ kind, pumpedM3 }) => kind === 'dry' && pumpedM3 < LEAST_PUMPED_M3)
    .flatMap(({ fromOn, toOn, days, openingLevelM, closingLevelM, handDrawnM3 }) => {
      const endLevelM = handDrawnM3 > 0 ? levelWithBackM(body, closingLevelM, handDrawnM3) : closingLevelM
      const fallCm = 100 * (openingLevelM - endLevelM)
      const putBackCm = 100 * (endLevelM - closingLevelM)
      const mostCm = Math.max(PUT_BACK_ALWAYS_CM, Math.abs(openingLevelM - closingLevelM) * 50)
      const rest = { fromOn, toOn, days, startLevelM: openingLevelM, endLevelM, fallCm, handDrawnM3 }
      return putBackCm > mostCm ? [] : [rest]
    })
}

function levelWithBackM(body: SandBody, waterLevelM: number, volumeM3: number): number {
  const storageM3 = drainableStorageM3({ body, waterLevelM }).likelyM3 + volumeM3
  return waterLevelForStorageM({ body, storageM3 }) ?? body.crestLevelM
}
