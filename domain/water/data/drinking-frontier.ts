/** What keeping drinking water for so many weeks beyond the late date of rain came to in simulated seasons. */
interface FrontierRow {
  extraWeeks: number
  /** Mean harvest, per cent of the possible. */
  harvestPercent: number
  /** Of 100 seasons in which drinking alone would have held: those with a day without the whole drinking water before the rain. */
  dryIn100: number
  /** Of the same: on more than three weeks' days, so that fetching for three weeks does not bridge them. */
  longDryIn100: number
  /** Dry before the rain, of 100 of those whose rain came by the late day, and of those in which it came six weeks after it or later. */
  onTimeIn100: number
  sixWeeksLateIn100: number
}

/**
 * Printed by `npm run bench:loop` on that date from the second world of docs/methods.md: 1,500 stores of every size, half of the
 * rains up to eight weeks late, tables of the store 40 per cent too low to 60 too high, up to 40 per cent of draws not logged.
 * Source: these simulated seasons alone.
 */
export const DRINKING_FRONTIER: { printedOn: string; seasons: number; rows: readonly FrontierRow[] } = {
  printedOn: '2026-11-28',
  seasons: 1500,
  rows: [
    { extraWeeks: 0, harvestPercent: 54.9, dryIn100: 18.5, longDryIn100: 7, onTimeIn100: 3.8, sixWeeksLateIn100: 58 },
    { extraWeeks: 1, harvestPercent: 52.9, dryIn100: 13.7, longDryIn100: 4.6, onTimeIn100: 2.8, sixWeeksLateIn100: 52 },
    { extraWeeks: 2, harvestPercent: 50.9, dryIn100: 9.6, longDryIn100: 2.8, onTimeIn100: 2.3, sixWeeksLateIn100: 45 },
    { extraWeeks: 3, harvestPercent: 49, dryIn100: 7.7, longDryIn100: 1.8, onTimeIn100: 1.9, sixWeeksLateIn100: 41 },
    { extraWeeks: 4, harvestPercent: 47.1, dryIn100: 5.9, longDryIn100: 1, onTimeIn100: 1.8, sixWeeksLateIn100: 29 },
    { extraWeeks: 6, harvestPercent: 43.4, dryIn100: 3.4, longDryIn100: 0.4, onTimeIn100: 1.3, sixWeeksLateIn100: 15 },
    { extraWeeks: 8, harvestPercent: 40, dryIn100: 2.2, longDryIn100: 0.1, onTimeIn100: 0.9, sixWeeksLateIn100: 8 },
  ],
}

/** The row of so many weeks, or of the next fewer that was simulated, so that no safety is claimed that was not seen. */
export function frontierOf(extraWeeks: number): FrontierRow {
  return DRINKING_FRONTIER.rows.findLast((row) => row.extraWeeks <= extraWeeks) ?? DRINKING_FRONTIER.rows[0]!
}
