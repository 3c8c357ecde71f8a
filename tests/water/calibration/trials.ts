import { type Calibration, calibrateCurve } from '../../../domain/water/calibration/calibrate.ts'
import { drainableStorageM3, likelyStorageM3 } from '../../../domain/water/sand/storage.ts'
import { storedM3 } from '../../loop/sand.ts'
import { type Habits, type WeirSeason, weirSeason } from './worlds.ts'

/** Where the water is looked at: from the lowest reading (or the off-take) to the highest, as a part of the way. */
export const PLACES = [0.95, 0.6, 0.3] as const

export interface Trial {
  seed: number
  fit: Calibration
  /** At each place: whether the range above the off-take holds the truth, and its half width as a part of the likely. */
  places: { holds: boolean; halfWidth: number }[]
}

/** One season of a seeded weir, fitted as the page would; `meterTimes` where the pump meters were read. */
export function trialOf(seed: number, habits: Habits, meterTimes: number | null = null): Trial {
  const season = weirSeason(seed, habits)
  const { body, stretches, openWaterMm } = season
  const fit = calibrateCurve({ body, stretches, openWaterMm, meterTimes })
  return { seed, fit, places: fit.refused ? [] : PLACES.map((part) => lookAt(season, fit, part)) }
}

function lookAt(season: WeirSeason, fit: Extract<Calibration, { refused: null }>, part: number) {
  const { truth, offTakeLevelM, stretches } = season
  const levels = stretches.flatMap((one) => [one.openingLevelM, one.closingLevelM])
  const lowestM = Math.max(offTakeLevelM, Math.min(...levels))
  const waterLevelM = lowestM + part * (Math.max(...levels) - lowestM)
  const body = fit.proposedBody
  const [here, foot] = [waterLevelM, offTakeLevelM].map((atM) => drainableStorageM3({ body, waterLevelM: atM }))
  const trueM3 = storedM3(truth, waterLevelM) - storedM3(truth, offTakeLevelM)
  const [lowM3, highM3] = [here!.lowM3 - foot!.lowM3, here!.highM3 - foot!.highM3]
  const likelyM3 = likelyStorageM3(body, waterLevelM) - likelyStorageM3(body, offTakeLevelM)
  return { holds: lowM3 <= trueM3 && trueM3 <= highM3, halfWidth: (highM3 - lowM3) / 2 / likelyM3 }
}

export interface Judged {
  seasons: number
  refused: Record<string, number>
  /** Of the fitted: at each place the part of ranges that hold the truth, and the middle half width. */
  holds: number[]
  halfWidth: number[]
}

export function judged(trials: readonly Trial[]): Judged {
  const refused: Record<string, number> = {}
  for (const { fit } of trials) for (const reason of fit.refused ?? []) refused[reason] = (refused[reason] ?? 0) + 1
  const fitted = trials.filter(({ fit }) => fit.refused === null)
  const at = (place: number) => fitted.map(({ places }) => places[place]!)
  return {
    seasons: trials.length,
    refused,
    holds: PLACES.map((_, place) => at(place).filter(({ holds }) => holds).length / fitted.length),
    halfWidth: PLACES.map(
      (_, place) =>
        at(place)
          .map((one) => one.halfWidth)
          .toSorted((a, b) => a - b)[Math.floor(fitted.length / 2)]!,
    ),
  }
}
