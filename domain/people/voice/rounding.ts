import { LITRES_PER_M3, type M3 } from '../../units.ts'

/**
 * A figure of a report as one says it: to halves under 20, whole under 100, to two figures and a half (tens under 1,000, fifties
 * under 2,000, hundreds above) beyond. Own choice, no source; the page has the exact figure. Gives
 * a number in the unit of the one it takes.
 */
export function saidRound(value: number): number {
  const size = Math.abs(value)
  const step = size < 20 ? 0.5 : size < 100 ? 1 : size < 1000 ? 10 : size < 2000 ? 50 : size < 10_000 ? 100 : 1000
  return Math.round(value / step) * step
}

const MINUTES_SAID = 5

/**
 * A clock time as one says it, in minutes after midnight: back to the last five minutes, so that nobody comes late for it and the
 * end of one turn is the beginning of the next.
 */
export function saidMinute(minute: number): number {
  return Math.floor(minute / MINUTES_SAID) * MINUTES_SAID
}

/** A volume in m3 as whole cans of so many litres: one by one under 1 m3, by tens above, as on every page. */
export function saidCans(m3: M3, canLitres: number): number {
  const cans = (m3 * LITRES_PER_M3) / canLitres
  return m3 < 1 ? Math.round(cans) : Math.round(cans / 10) * 10
}
