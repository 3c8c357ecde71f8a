import { InputError } from '../input-error.ts'
import { sum } from '../sum.ts'
import type { M3 } from '../units.ts'

export type Sky = 'clear' | 'half' | 'dull'
export type PumpMount = 'fixed' | 'tracking' | 'stuck'

interface PumpDayInput {
  /** Mean clear-sky radiation of the clock hours 0-1, 1-2, ... 23-24. */
  clearSkyWPerM2ByHour: number[]
  /** What the pump gives at full sun (1000 W/m2); it is never planned to give more. */
  usualFlowM3PerH: number
  /** The day's mean volume from the pump's own log, for the sky words that it has. */
  usualDayM3?: Partial<Record<Sky, number>>
  /** Below this the pump lifts nothing. */
  sunThresholdWPerM2: number
  /** The pump runs from the start of `firstHour` until the start of `lastHour`: 7 and 17 mean 07:00 to 17:00. */
  firstHour: number
  lastHour: number
  mount: PumpMount
  sky: Sky
}

interface PumpDay {
  flowM3PerHByHour: number[]
  dayM3: M3
  /** Whether the volume rests on the pump's own log of such days or on the common shares of a clear day. */
  basis: 'own-log' | 'clear-sky'
}

const FULL_SUN_W_PER_M2 = 1000

/** Part of a clear day's water that a half and a dull day bring where no log says otherwise. Common practice, no source. */
const PART_OF_CLEAR_DAY: Record<Sky, number> = { clear: 1, half: 0.7, dull: 0.45 }

/** A mount that stuck in the evening leans this far to the west. Common practice, no source. */
const STUCK_TILT_DEG = 30

/**
 * Expected flow of a solar pump hour by hour.
 * Flow follows the line Q = Qref (G - Gth) / (Gref - Gth) above the threshold, the usual planning rule for directly coupled
 * pumps, at most the usual flow; then all hours are scaled to the day's volume. A tracking mount is credited with
 * nothing that the pump's own log does not show, and a stuck one loses its morning.
 */
export function pumpDay(input: PumpDayInput): PumpDay {
  checkPumpDay(input)
  const clearDay = flowUnderSun(input, input.clearSkyWPerM2ByHour)
  const logged = loggedDayM3(input)
  const dayM3 = logged ?? PART_OF_CLEAR_DAY[input.sky] * sum(clearDay)
  const flowM3PerHByHour =
    input.mount === 'stuck' ? stuckDay(input, dayM3 / sum(clearDay)) : scaled(input, clearDay, dayM3)
  return { flowM3PerHByHour, dayM3: sum(flowM3PerHByHour), basis: logged === null ? 'clear-sky' : 'own-log' }
}

function flowUnderSun(input: PumpDayInput, sunWPerM2ByHour: number[]): number[] {
  return sunWPerM2ByHour.map((sunWPerM2, hour) =>
    hour >= input.firstHour && hour < input.lastHour ? flowAtSunM3PerH({ ...input, sunWPerM2 }) : 0,
  )
}

/** The threshold line: nothing up to the threshold, the usual flow from full sun on. */
function flowAtSunM3PerH({
  sunWPerM2,
  sunThresholdWPerM2,
  usualFlowM3PerH,
}: {
  sunWPerM2: number
  sunThresholdWPerM2: number
  usualFlowM3PerH: number
}): number {
  const part = (sunWPerM2 - sunThresholdWPerM2) / (FULL_SUN_W_PER_M2 - sunThresholdWPerM2)
  return usualFlowM3PerH * Math.min(1, Math.max(0, part))
}

/** The log's own figure for this sky, or its clear day times the common share. */
function loggedDayM3({ usualDayM3, sky }: PumpDayInput): number | null {
  const clear = usualDayM3?.clear
  return usualDayM3?.[sky] ?? (clear === undefined ? null : clear * PART_OF_CLEAR_DAY[sky])
}

/**
 * Scales the day to its volume; hours that would pass the usual flow stay at it and the others rise further, which
 * is how a working mount flattens the day. The volume is missed when every sunny hour is at the usual flow.
 */
function scaled({ usualFlowM3PerH }: PumpDayInput, flowM3PerHByHour: number[], dayM3: M3): number[] {
  const sunny = flowM3PerHByHour.filter((flow) => flow > 0).sort((a, b) => b - a)
  let restM3 = dayM3
  let restOfDay = sum(sunny)
  let factor = 0
  for (const flow of sunny) {
    factor = restM3 / restOfDay
    if (flow * factor <= usualFlowM3PerH) break
    restM3 -= usualFlowM3PerH
    restOfDay -= flow
  }
  return flowM3PerHByHour.map((flow) => Math.min(usualFlowM3PerH, flow * factor))
}

/**
 * The panels lean to the west all day: direct sun on a plane tilted by b is cos(w - b) / cos(w) of what a level plane
 * receives at hour angle w (equator at equinox, no diffuse light; derived). The afternoon is credited with no gain, and a log kept
 * while the mount turned may only lower the day.
 */
function stuckDay(input: PumpDayInput, partOfClearDay: number): number[] {
  const noonHour = weightedMidHour(input.clearSkyWPerM2ByHour)
  const tilt = (STUCK_TILT_DEG * Math.PI) / 180
  const leaning = input.clearSkyWPerM2ByHour.map((sun, hour) => {
    const angle = ((hour + 0.5 - noonHour) * 15 * Math.PI) / 180
    if (Math.abs(angle) >= Math.PI / 2) return 0
    return sun * Math.min(1, Math.max(0, Math.cos(angle - tilt) / Math.cos(angle)))
  })
  const part = Math.min(partOfClearDay || 0, PART_OF_CLEAR_DAY[input.sky])
  return flowUnderSun(input, leaning).map((flow) => flow * part)
}

function weightedMidHour(values: number[]): number {
  const total = sum(values)
  return total === 0 ? 12 : sum(values.map((value, hour) => value * (hour + 0.5))) / total
}

function checkPumpDay(input: PumpDayInput): void {
  const { clearSkyWPerM2ByHour, usualFlowM3PerH, sunThresholdWPerM2, firstHour, lastHour } = input
  if (clearSkyWPerM2ByHour.length !== 24) throw new RangeError('clear-sky radiation needs 24 clock hours')
  if (clearSkyWPerM2ByHour.some((sun) => !(sun >= 0))) throw new RangeError('radiation is never below zero')
  if (!(usualFlowM3PerH >= 0 && usualFlowM3PerH < Infinity))
    throw new InputError('pump-flow-impossible', { usualFlowM3PerH })
  if (!(sunThresholdWPerM2 >= 0 && sunThresholdWPerM2 < FULL_SUN_W_PER_M2))
    throw new InputError('sun-threshold-impossible', { sunThresholdWPerM2 })
  if (!(firstHour >= 0 && lastHour <= 24 && firstHour < lastHour))
    throw new InputError('pump-hours-impossible', { firstHour, lastHour })
  for (const [sky, dayM3] of Object.entries(input.usualDayM3 ?? {}))
    if (dayM3 !== undefined && !(dayM3 >= 0 && dayM3 < Infinity))
      throw new InputError('pump-day-impossible', { sky, dayM3 })
}
