import { type CalendarDate, dayOfYear } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'

/** MJ per m2 and minute. */
const SOLAR_CONSTANT = 0.082

interface SunGeometry {
  latitudeRad: number
  declinationRad: number
  /** Inverse of the squared distance from earth to sun, as a part of its mean. */
  distanceFactor: number
  /** Half the day as an angle: 0 in the polar night, pi under the midnight sun. */
  sunsetAngleRad: number
}

/** Place of the sun on one day of the year, 1 to 366. Source: FAO-56 (1998), equations 22 to 25. */
export function sunGeometry({ latitudeDeg, dayOfYear }: { latitudeDeg: number; dayOfYear: number }): SunGeometry {
  if (!(Math.abs(latitudeDeg) <= 90)) throw new InputError('latitude-outside', { latitudeDeg })
  const latitudeRad = (latitudeDeg * Math.PI) / 180
  const yearRad = (2 * Math.PI * dayOfYear) / 365
  const declinationRad = 0.409 * Math.sin(yearRad - 1.39)
  const cosine = -Math.tan(latitudeRad) * Math.tan(declinationRad)
  return {
    latitudeRad,
    declinationRad,
    distanceFactor: 1 + 0.033 * Math.cos(yearRad),
    sunsetAngleRad: Math.acos(Math.min(1, Math.max(-1, cosine))),
  }
}

/** Sun's radiation at the top of the air between two solar time angles, MJ/m2. Source: FAO-56, equation 28. */
export function radiationBetweenMjM2(sun: SunGeometry, fromRad: number, toRad: number): number {
  const level = Math.sin(sun.latitudeRad) * Math.sin(sun.declinationRad)
  const swing = Math.cos(sun.latitudeRad) * Math.cos(sun.declinationRad)
  const angle = (toRad - fromRad) * level + swing * (Math.sin(toRad) - Math.sin(fromRad))
  return ((12 * 60) / Math.PI) * SOLAR_CONSTANT * sun.distanceFactor * angle
}

interface PlaceAndDay {
  latitudeDeg: number
  date: CalendarDate
}

/** Sun's radiation of a whole day at the top of the air, MJ/m2. Source: FAO-56, equation 21. */
export function extraterrestrialRadiationMjM2({ latitudeDeg, date }: PlaceAndDay): number {
  const sun = sunGeometry({ latitudeDeg, dayOfYear: dayOfYear(date) })
  return radiationBetweenMjM2(sun, -sun.sunsetAngleRad, sun.sunsetAngleRad)
}

/** Longest possible sunshine of a day, hours from sun's centre rising to its setting. Source: FAO-56, equation 34. */
export function daylightHours({ latitudeDeg, date }: PlaceAndDay): number {
  return (24 / Math.PI) * sunGeometry({ latitudeDeg, dayOfYear: dayOfYear(date) }).sunsetAngleRad
}
