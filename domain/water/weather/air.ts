/** Mean air pressure at an elevation, kPa. Source: FAO-56 (1998), equation 7. */
export function atmosphericPressureKpa(elevationM: number): number {
  return 101.3 * ((293 - 0.0065 * elevationM) / 293) ** 5.26
}

/** Psychrometric constant, kPa per degree. Source: FAO-56, equation 8. */
export function psychrometricConstantKpaPerC(elevationM: number): number {
  return 0.000665 * atmosphericPressureKpa(elevationM)
}

/** Saturation vapour pressure at an air temperature, kPa. Source: FAO-56, equation 11. */
export function saturationVapourPressureKpa(temperatureC: number): number {
  return 0.6108 * Math.exp((17.27 * temperatureC) / (temperatureC + 237.3))
}

/**
 * Mean saturation vapour pressure of a day, kPa: the mean at the two extremes, since the value at the
 * mean temperature would be too low. Source: FAO-56, equation 12.
 */
export function meanSaturationVapourPressureKpa({ tmaxC, tminC }: { tmaxC: number; tminC: number }): number {
  return (saturationVapourPressureKpa(tmaxC) + saturationVapourPressureKpa(tminC)) / 2
}

/** Slope of the saturation curve at an air temperature, kPa per degree. Source: FAO-56, equation 13. */
export function vapourPressureSlopeKpaPerC(temperatureC: number): number {
  return (4098 * saturationVapourPressureKpa(temperatureC)) / (temperatureC + 237.3) ** 2
}

/** Wind at 2 m over short grass from wind at another height, m/s. Source: FAO-56, equation 47. Null below 0.1 m, where the profile was not fitted. */
export function windAt2M({ windMPerS, heightM }: { windMPerS: number; heightM: number }): number | null {
  if (!(heightM >= 0.1)) return null
  return (windMPerS * 4.87) / Math.log(67.8 * heightM - 5.42)
}
