/** Mean wind at 2 m and mean daily lowest humidity during the stage. */
export interface Climate {
  windMPerS: number
  rhMinPct: number
}

/**
 * A mid-season or end coefficient adjusted from the table's climate (2 m/s, 45 %) to the place's own.
 * Beyond the fitted ranges, wind 1 to 6 m/s, humidity 20 to 80 %, height 0.1 to 10 m, the nearest limit counts.
 * Source: FAO-56 (1998), equations 62 and 65.
 */
export function climateAdjustedCoefficient(input: { kc: number; heightM: number; climate?: Climate }): number {
  const { kc, heightM, climate } = input
  if (!climate) return kc
  const wind = between(climate.windMPerS, 1, 6)
  const humidity = between(climate.rhMinPct, 20, 80)
  const height = between(heightM, 0.1, 10)
  return kc + (0.04 * (wind - 2) - 0.004 * (humidity - 45)) * (height / 3) ** 0.3
}

function between(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value))
}
