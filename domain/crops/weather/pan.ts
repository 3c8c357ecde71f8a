/** Reference evapotranspiration from an evaporation pan, mm. Source: FAO-56 (1998), equation 55. */
export function panEvapotranspirationMm(input: { panMm: number; coefficient: number }): number {
  return input.panMm * input.coefficient
}

/**
 * Coefficient of a Class A pan standing in short green cover. Null outside the regression's ranges:
 * fetch 1 to 1000 m, wind 1 to 8 m/s, mean humidity 30 to 84 %.
 * Source: FAO-56, Table 7 (from memory); it gives 0.83 where Example 21 reads 0.85 from Table 5.
 */
export function classAPanCoefficient(input: {
  windAt2MPerS: number
  rhMeanPct: number
  fetchM: number
}): number | null {
  const { windAt2MPerS: wind, rhMeanPct, fetchM } = input
  if (fetchM < 1 || fetchM > 1000 || wind < 1 || wind > 8 || rhMeanPct < 30 || rhMeanPct > 84) return null
  const fetch = Math.log(fetchM)
  const damp = Math.log(rhMeanPct)
  return 0.108 - 0.0286 * wind + 0.0422 * fetch + 0.1434 * damp - 0.000631 * fetch ** 2 * damp
}
