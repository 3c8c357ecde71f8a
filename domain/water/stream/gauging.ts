import { InputError } from '../../input-error.ts'
import { sum } from '../../sum.ts'
import type { Litres, Range } from '../../units.ts'
import { TOOL_ERROR_FRACTION } from '../../works/tool-errors.ts'

/** Each part of the doubt as a fraction of the flow, either way. */
export interface GaugedFlow {
  flowM3PerH: Range
  /** Root of the sum of the squared parts. */
  doubt: number
  doubtParts: Record<string, number>
}

export interface FloatGauging extends GaugedFlow {
  areaM2: number
  surfaceVelocityMPerS: number
  surfaceFactor: number
}

/**
 * The mean speed of a stream over the speed of a float on it. A shallow rough bed has about 0.66 (USBR, Water
 * Measurement Manual, table 13-1, for a mean depth of 0.3 m: memory), a smooth one up to 0.85 (common practice, no source).
 */
const SURFACE_FACTOR: Readonly<Range> = { low: 0.66, likely: 0.75, high: 0.85 }
/** Width and depths by tape and stick. Common practice, no source. */
const AREA_DOUBT = 0.1

/**
 * Flow of a stream by a float: wetted area x length / time x surface factor. Area by the mean-section method: between two
 * soundings the width times their mean depth. Null where the section holds no water.
 * Source: ISO 748, mean-section method and float gauging (memory).
 */
export function floatFlow({
  lengthM,
  seconds,
  points,
  surfaceFactor = SURFACE_FACTOR.likely,
}: {
  lengthM: number
  /** One time for each float. */
  seconds: readonly number[]
  points: readonly { offsetM: number; depthM: number }[]
  surfaceFactor?: number
}): FloatGauging | null {
  if (!(lengthM > 0)) throw new InputError('length-not-above-zero', { lengthM })
  if (!(surfaceFactor > 0 && surfaceFactor <= 1)) throw new InputError('surface-factor-out-of-range', { surfaceFactor })
  const meanSeconds = meanTime(seconds)
  const areaM2 = wettedAreaM2(points)
  if (areaM2 === 0) return null
  const surfaceVelocityMPerS = lengthM / meanSeconds
  const { low, likely, high } = SURFACE_FACTOR
  const doubtParts = { factor: (high - low) / 2 / likely, area: AREA_DOUBT, times: timesDoubt(seconds) }
  const likelyM3PerH = areaM2 * surfaceVelocityMPerS * surfaceFactor * 3600
  return { ...doubted(likelyM3PerH, doubtParts), areaM2, surfaceVelocityMPerS, surfaceFactor }
}

/** Shorter fillings are read too badly to count. Guides ask for at least three seconds (common practice, no source). */
const SHORTEST_FILLING_S = 3
const CAREFUL_FILLING_S = 10
const CAREFUL_FILLINGS = 4

/**
 * Flow caught in a vessel: litres x 3.6 / mean seconds, in m3/h. Within 5 per cent when the vessel takes ten seconds and
 * is filled four times, else 20, as at an outlet (common practice, no source), and never less than the times themselves scatter.
 */
export function bucketFlow({ litres, seconds }: { litres: Litres; seconds: readonly number[] }): GaugedFlow {
  if (!(litres > 0)) throw new InputError('litres-not-above-zero', { litres })
  const meanSeconds = meanTime(seconds)
  if (meanSeconds < SHORTEST_FILLING_S) throw new InputError('filling-too-short', { seconds: meanSeconds })
  const careful = meanSeconds >= CAREFUL_FILLING_S && seconds.length >= CAREFUL_FILLINGS
  const { bucketCareful, bucketOrdinary } = TOOL_ERROR_FRACTION
  return doubted((litres * 3.6) / meanSeconds, {
    vessel: careful ? bucketCareful : bucketOrdinary,
    // What one filling alone leaves open is within the vessel's own fifth.
    times: seconds.length < 2 ? 0 : timesDoubt(seconds),
  })
}

function doubted(likely: number, doubtParts: Record<string, number>): GaugedFlow {
  const doubt = Math.min(1, Math.hypot(...Object.values(doubtParts)))
  return { flowM3PerH: { low: likely * (1 - doubt), likely, high: likely * (1 + doubt) }, doubt, doubtParts }
}

function meanTime(seconds: readonly number[]): number {
  if (seconds.length === 0) throw new InputError('no-times')
  const wrong = seconds.find((one) => !(one > 0))
  if (wrong !== undefined) throw new InputError('time-not-above-zero', { seconds: wrong })
  return sum(seconds) / seconds.length
}

/** Standard error of the mean time over the mean; one time alone says nothing of its scatter and counts a fifth. */
function timesDoubt(seconds: readonly number[]): number {
  if (seconds.length < 2) return 0.2
  const mean = meanTime(seconds)
  const squares = sum(seconds, (one) => (one - mean) ** 2)
  return Math.sqrt(squares / (seconds.length - 1) / seconds.length) / mean
}

function wettedAreaM2(points: readonly { offsetM: number; depthM: number }[]): number {
  if (points.length < 2) throw new InputError('too-few-soundings', { points: points.length })
  let areaM2 = 0
  for (let i = 0; i < points.length; i++) {
    const { offsetM, depthM } = points[i]!
    if (!(depthM >= 0)) throw new InputError('depth-below-zero', { depthM })
    if (i === 0) continue
    const before = points[i - 1]!
    if (!(offsetM > before.offsetM)) throw new InputError('offsets-not-rising', { offsetM })
    areaM2 += ((offsetM - before.offsetM) * (depthM + before.depthM)) / 2
  }
  return areaM2
}
