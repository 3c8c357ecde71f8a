import { VESSEL_ERROR_FRACTION } from '../people/measure.ts'

/**
 * How far off each way of measuring may be, as a fraction of the volume, in ordinary use.
 * Common practice, no source, except the meter: ISO 4064-1 / OIML R 49-1 accuracy class 2 (from memory).
 */
export const TOOL_ERROR_FRACTION = {
  meter: 0.05,
  hours: 0.3,
  bucketCareful: 0.05,
  bucketOrdinary: 0.2,
  tankArea: 0.03,
  jerrycans: VESSEL_ERROR_FRACTION,
} as const

/** The sun changes what a pump gives by so much an hour, and by so much from any hour of the day to any other. */
const SUN_FRACTION_PER_HOUR = 0.1
const SUN_FRACTION_OF_DAY = 0.3

/**
 * What the sun's change adds to the error of a flow that was timed once, as a fraction: by the hours that the water ran beyond
 * the first, or for another time of the day (hours left out). Common practice, no source.
 */
export function sunErrorFraction(hours = Number.POSITIVE_INFINITY): number {
  return Math.min(SUN_FRACTION_OF_DAY, SUN_FRACTION_PER_HOUR * Math.max(0, hours - 1))
}

/** Error of one reading of a tank's level, in metres. Common practice, no source. */
export const TANK_LEVEL_ERROR_M = 0.01

/**
 * Maximum permissible error of a class 2 cold-water meter, as a fraction of the volume: 5 % from the minimum
 * flow up to the transitional flow, 2 % from the transitional flow up. Null when the flow is above the meter's
 * overload flow, where the standard promises nothing.
 * Source: ISO 4064-1 / OIML R 49-1, accuracy class 2, water to 30 °C (status: memory).
 */
export function classTwoErrorFraction({
  flowM3PerH,
  transitionalFlowM3PerH,
  overloadFlowM3PerH = Number.POSITIVE_INFINITY,
}: {
  flowM3PerH: number
  transitionalFlowM3PerH: number
  overloadFlowM3PerH?: number
}): number | null {
  if (flowM3PerH > overloadFlowM3PerH) return null
  return flowM3PerH < transitionalFlowM3PerH ? 0.05 : 0.02
}

/**
 * The error of a sum or difference of independently measured volumes: the root of the summed squares.
 * Source: JCGM 100:2008 (Guide to the expression of uncertainty in measurement), section 5.1.2, eq. 10, with unit coefficients (memory).
 */
export function combinedErrorM3({ errorsM3 }: { errorsM3: readonly number[] }): number {
  return Math.hypot(...errorsM3)
}
