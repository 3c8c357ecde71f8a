import { InputError } from '../input-error.ts'
import { mean } from '../sum.ts'

/** Time since the pump stopped, and how far the chamber's water stands below the water in the sand. */
interface RefillReading {
  minutes: number
  drawdownM: number
}

export interface ChamberRefill {
  /** Inflow per metre of drawdown, so many m3 an hour for each metre. */
  conductanceM2PerH: number
  slopePerMin: number
  readings: number
}

/**
 * Conductance of a collecting chamber from a refill test: ln(drawdown) falls in a straight line with time, slope -C/A.
 * Least squares over all readings; with two it is C = (A / t) ln(s1 / s2). Null when the chamber did not refill.
 * Source: recuperation test, Subramanya, Engineering Hydrology, open wells; Slichter's formula.
 */
export function chamberRefill({
  chamberAreaM2,
  readings,
}: {
  chamberAreaM2: number
  readings: readonly RefillReading[]
}): ChamberRefill | null {
  if (!(chamberAreaM2 > 0)) throw new InputError('chamber-area-not-above-zero', { chamberAreaM2 })
  if (readings.length < 2) throw new InputError('refill-too-few-readings', { readings: readings.length })
  for (const { minutes, drawdownM } of readings)
    if (!(minutes >= 0 && drawdownM > 0)) throw new InputError('refill-reading-out-of-range', { minutes, drawdownM })
  const meanMin = mean(readings.map((reading) => reading.minutes))
  let [crossed, squared] = [0, 0]
  for (const { minutes, drawdownM } of readings) {
    crossed += (minutes - meanMin) * Math.log(drawdownM)
    squared += (minutes - meanMin) ** 2
  }
  if (squared === 0) throw new InputError('refill-readings-at-one-time', { minutes: meanMin })
  const slopePerMin = crossed / squared
  if (!(slopePerMin < 0)) return null
  return { conductanceM2PerH: -slopePerMin * chamberAreaM2 * 60, slopePerMin, readings: readings.length }
}

/** Inflow at a drawdown: Q = C s. */
export function chamberInflowM3PerH({
  conductanceM2PerH,
  drawdownM,
}: {
  conductanceM2PerH: number
  drawdownM: number
}): number {
  return conductanceM2PerH * Math.max(0, drawdownM)
}

/** Minutes until a share of the drawdown is made good: t = (A / C) ln(1 / (1 - share)). */
export function chamberRecoveryMinutes({
  conductanceM2PerH,
  chamberAreaM2,
  share,
}: {
  conductanceM2PerH: number
  chamberAreaM2: number
  share: number
}): number {
  if (!(share >= 0 && share < 1)) throw new InputError('share-not-below-one', { share })
  return (60 * chamberAreaM2 * -Math.log(1 - share)) / conductanceM2PerH
}

interface ChamberLimit {
  /** What the sand gives without end while the chamber is drawn to its stop mark. */
  sustainedM3PerH: number
  /** Where the chamber settles under this pump; null when it would be drawn past the stop mark. */
  steadyDrawdownM: number | null
  outrunsChamber: boolean
  /** From full to the stop mark with the pump running; null when it never gets there. */
  minutesToStop: number | null
}

/**
 * What a chamber can give at today's level: head is the water in the sand above the mark at which the pump must stop.
 * From A ds/dt = Q - C s: the mark is reached after (A / C) ln(Q / (Q - C head)). The conductance shrinks as the sand
 * drains, so a test is good only near the level at which it was made.
 */
export function chamberLimit({
  conductanceM2PerH,
  chamberAreaM2,
  waterLevelM,
  stopLevelM,
  pumpFlowM3PerH,
}: {
  conductanceM2PerH: number
  chamberAreaM2: number
  waterLevelM: number
  stopLevelM: number
  pumpFlowM3PerH: number
}): ChamberLimit {
  const headM = Math.max(0, waterLevelM - stopLevelM)
  const sustainedM3PerH = chamberInflowM3PerH({ conductanceM2PerH, drawdownM: headM })
  const outrunsChamber = pumpFlowM3PerH > sustainedM3PerH
  return {
    sustainedM3PerH,
    steadyDrawdownM: outrunsChamber ? null : pumpFlowM3PerH / conductanceM2PerH,
    outrunsChamber,
    minutesToStop: outrunsChamber
      ? ((60 * chamberAreaM2) / conductanceM2PerH) * Math.log(pumpFlowM3PerH / (pumpFlowM3PerH - sustainedM3PerH))
      : null,
  }
}
