import { type CalendarDate, dayOfYear } from '../../calendar.ts'
import { clearSkyRadiationMjM2 } from './radiation.ts'
import { radiationBetweenMjM2, sunGeometry } from './sun.ts'

const HOUR_RAD = Math.PI / 12

/**
 * Clock hour (0 to 24, as a decimal) at which the sun is highest.
 * Source: FAO-56 (1998), equations 31 to 33. Longitude is east positive, as on a map.
 */
function solarNoonHour({ longitudeDeg, date, utcOffsetHours }: PlaceClockAndDay): number {
  return 12 - seasonalCorrectionHours(dayOfYear(date)) - longitudeDeg / 15 + utcOffsetHours
}

interface PlaceClockAndDay {
  longitudeDeg: number
  date: CalendarDate
  utcOffsetHours: number
}

/**
 * Solar radiation on level ground from one clock hour to the next under a clear sky, MJ/m2; `hour` 14 is 14:00 to 15:00.
 * The hours of sunrise and sunset count only the time that the sun is up.
 * Source: FAO-56, equations 28 to 33 and 37, with the ends cut at sunset as in ASCE-EWRI (2005).
 */
function clearSkyHourlyRadiationMjM2(
  input: PlaceClockAndDay & { latitudeDeg: number; elevationM: number; hour: number },
): number {
  const sun = sunGeometry({ latitudeDeg: input.latitudeDeg, dayOfYear: dayOfYear(input.date) })
  const middleRad = wrapped((input.hour + 0.5 - solarNoonHour(input)) * HOUR_RAD)
  let fromRad = middleRad - HOUR_RAD / 2
  let toRad = middleRad + HOUR_RAD / 2
  if (sun.sunsetAngleRad < Math.PI) {
    fromRad = Math.max(fromRad, -sun.sunsetAngleRad)
    toRad = Math.min(toRad, sun.sunsetAngleRad)
  }
  if (toRad <= fromRad) return 0
  const extraterrestrialMjM2 = radiationBetweenMjM2(sun, fromRad, toRad)
  return clearSkyRadiationMjM2({ extraterrestrialMjM2, elevationM: input.elevationM })
}

const W_PER_M2_FOR_MJ_PER_M2_AND_H = 1e6 / 3600

/**
 * Mean sun on level ground under a clear sky from each full clock hour of a day to the next, W/m2: 24 figures.
 * Source: those of `clearSkyHourlyRadiationMjM2`; 1 MJ/m2 in an hour is 277.8 W/m2.
 */
export function clearSkyWPerM2ByHour(input: PlaceClockAndDay & { latitudeDeg: number; elevationM: number }): number[] {
  return Array.from(
    { length: 24 },
    (_, hour) => clearSkyHourlyRadiationMjM2({ ...input, hour }) * W_PER_M2_FOR_MJ_PER_M2_AND_H,
  )
}

/** How far the sundial runs ahead of the clock. Source: FAO-56, equations 32 and 33. */
function seasonalCorrectionHours(dayOfYear: number): number {
  const b = (2 * Math.PI * (dayOfYear - 81)) / 364
  return 0.1645 * Math.sin(2 * b) - 0.1255 * Math.cos(b) - 0.025 * Math.sin(b)
}

function wrapped(angleRad: number): number {
  return angleRad - 2 * Math.PI * Math.round(angleRad / (2 * Math.PI))
}
