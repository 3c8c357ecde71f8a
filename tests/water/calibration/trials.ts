import { sum } from '../../../domain/sum.ts'
import { type Calibration, calibrateCurve } from '../../../domain/water/calibration/calibrate.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import { drainableStorageM3, likelyStorageM3 } from '../../../domain/water/sand/storage.ts'
import { storedM3 } from '../../loop/sand.ts'
import { type Habits, type WeirSeason, weirSeason } from './worlds.ts'

/** Where the water is looked at: from the lowest reading (or the off-take) to the highest, as a part of the way. */
export const PLACES = [0.95, 0.6, 0.3] as const

interface Look {
  holds: boolean
  /** As a part of the likely. */
  halfWidth: number
}

export interface Trial {
  seed: number
  fit: Calibration
  /** Days from the first reading to the last. */
  days: number
  /** At each place: the range of what stands above the off-take, and of the part of it that readings saw. */
  aboveOffTake: Look[]
  ofRead: Look[]
}

/** One season of a seeded weir, fitted as the page would; `meterTimes` where the pump meters were read. */
export function trialOf(seed: number, habits: Habits, meterTimes: number | null = null): Trial {
  const season = weirSeason(seed, habits)
  const { body, stretches, openWaterMm, offTakeLevelM } = season
  const fit = calibrateCurve({ body, stretches, openWaterMm, meterTimes })
  const levels = stretches.flatMap((one) => [one.openingLevelM, one.closingLevelM])
  const [lowestM, highestM] = [Math.max(offTakeLevelM, Math.min(...levels)), Math.max(...levels)]
  const looksFrom = (footM: number) =>
    fit.refused
      ? []
      : PLACES.map((part) => lookAt(season, fit.proposedBody, footM, lowestM + part * (highestM - lowestM)))
  const days = sum(stretches, (one) => one.days)
  return { seed, fit, days, aboveOffTake: looksFrom(offTakeLevelM), ofRead: looksFrom(lowestM) }
}

function lookAt({ truth }: WeirSeason, body: SandBody, footM: number, waterLevelM: number): Look {
  const [here, foot] = [waterLevelM, footM].map((atM) => drainableStorageM3({ body, waterLevelM: atM }))
  const trueM3 = storedM3(truth, waterLevelM) - storedM3(truth, footM)
  const [lowM3, highM3] = [here!.lowM3 - foot!.lowM3, here!.highM3 - foot!.highM3]
  const likelyM3 = likelyStorageM3(body, waterLevelM) - likelyStorageM3(body, footM)
  return { holds: lowM3 <= trueM3 && trueM3 <= highM3, halfWidth: (highM3 - lowM3) / 2 / likelyM3 }
}

export interface Judged {
  seasons: number
  refused: Record<string, number>
  /** Of the fitted: at each place the part of ranges that hold the truth, and the middle half width. */
  holds: number[]
  halfWidth: number[]
}

export function judged(trials: readonly Trial[], looks: 'aboveOffTake' | 'ofRead' = 'aboveOffTake'): Judged {
  const refused: Record<string, number> = {}
  for (const { fit } of trials) for (const reason of fit.refused ?? []) refused[reason] = (refused[reason] ?? 0) + 1
  const fitted = trials.filter(({ fit }) => fit.refused === null)
  const at = (place: number) => fitted.map((trial) => trial[looks][place]!)
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
