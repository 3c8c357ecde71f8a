import type { CalendarDate } from '../../calendar.ts'
import { sum } from '../../sum.ts'

/** A day's reference evapotranspiration by temperatures alone, and by the equation that also knows wind and humidity, mm. */
export interface ComparedDay {
  date: CalendarDate
  hargreavesMm: number
  betterMm: number
}

/** Fewest days that a factor is fitted from: common practice, no source. */
const FEWEST_DAYS = 10

/**
 * The local factor from days on which both are known: the ratio of the sums, so that days of high demand weigh most. Null
 * with fewer than ten days or without any demand to compare. Source: FAO-56 (1998), equation 53 with no constant term.
 */
export function localHargreavesFactor(days: readonly ComparedDay[]): number | null {
  const hargreavesMm = sum(days, (day) => day.hargreavesMm)
  if (days.length < FEWEST_DAYS || hargreavesMm <= 0) return null
  return sum(days, (day) => day.betterMm) / hargreavesMm
}
