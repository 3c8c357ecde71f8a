/** Cubic metres: a bare number may be given for them, litres may not. */
export type M3 = number & { readonly unit?: 'm3' }

/** Litres: a bare number may be given for them, cubic metres may not. */
export type Litres = number & { readonly unit?: 'litre' }

export const LITRES_PER_M3 = 1000
export const LITRES_PER_JERRYCAN = 20
export const MINUTES_PER_DAY = 24 * 60
export const JERRYCANS_PER_M3 = LITRES_PER_M3 / LITRES_PER_JERRYCAN

/** A low, a likely and a high value of the same quantity; the unit is in the name of the field that holds it. */
export interface Range {
  low: number
  likely: number
  high: number
}

/** Volume of a layer of water: 1 mm on 1 m2 is 1 litre. */
export function depthToVolumeM3({ depthMm, areaM2 }: { depthMm: number; areaM2: number }): number {
  return (depthMm * areaM2) / LITRES_PER_M3
}

/** Whole litres, so that shares of water add up exactly. Rounds down: nobody is promised more than there is. */
export function wholeLitresDown(volumeM3: M3): number {
  return Math.floor(volumeM3 * LITRES_PER_M3 + 1e-6)
}

/** Whole litres, rounded up; a hair over one, left by the machine's arithmetic, is none. */
export function wholeLitresUp(volumeM3: M3): number {
  return Math.ceil(volumeM3 * LITRES_PER_M3 - 1e-6)
}

/** Whole litres, to the nearest; for volumes that are whole litres but for what the machine's arithmetic left over. */
export function wholeLitres(volumeM3: M3): number {
  return Math.round(volumeM3 * LITRES_PER_M3)
}

/** Meters show at most litres; this takes off the dust that binary subtraction leaves behind. */
export function exactM3(volumeM3: M3): M3 {
  return Math.round(volumeM3 * 1e6) / 1e6
}

/** The volume in m3, cut down to a whole litre; what the machine's arithmetic left a hair under one still counts as one. */
export function downToLitreM3(volumeM3: M3): number {
  return litresToM3(wholeLitresDown(volumeM3))
}

/** The volume in m3 to the nearest litre, which drops what the machine's arithmetic left over. */
export function toLitreM3(volumeM3: M3): number {
  return litresToM3(wholeLitres(volumeM3))
}

/** Litres as m3. */
export function litresToM3(litres: Litres): number {
  return litres / LITRES_PER_M3
}

/** Adds the fields of ranges: every low with every low, and so on (errors taken as moving together). */
export function addRanges(ranges: readonly Range[]): Range {
  const total: Range = { low: 0, likely: 0, high: 0 }
  for (const range of ranges) {
    total.low += range.low
    total.likely += range.likely
    total.high += range.high
  }
  return total
}

/** To the nearest tenth of whatever unit the value has; in a picture that is finer than any eye sees and keeps the page small. */
export function toTenth(value: number): number {
  return Math.round(value * 10) / 10
}
