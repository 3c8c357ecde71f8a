import type { CalendarDate } from '../../calendar.ts'
import { sum } from '../../sum.ts'
import type { M3 } from '../../units.ts'
import { dailyLossAtM3, levelAtM, type StorageModel } from './store.ts'

/** The book between two readings of one weir. */
export interface SeenStretch {
  kind: 'dry' | 'wet' | 'not-reckoned'
  fromOn: CalendarDate
  toOn: CalendarDate
  days: number
  openingM3: M3
  closingM3: M3
  closingLevelM: number
  /** All that was drawn, drinking included, m3. */
  drawnM3: M3
}

export interface LossRise {
  /** Times the loss by level, 1 to 4. */
  rise: number
  /** Lost by the readings and as the path expected, m3; both over the same days. */
  lostM3: M3
  expectedM3: M3
  /** How much lower the water stands than expected, cm. */
  lowerCm: number
  fromOn: CalendarDate
  toOn: CalendarDate
}

const LEAST_DAYS = 21
const MOST_DAYS = 28
/** Two readings together err by about this much. */
const BEYOND_CM = 3
const MOST_LOSS_RISE = 4

/**
 * How much more the sand has lost over the last three or four dry weeks than its measured loss explains. Where the water
 * stands more than 3 cm below the path's expectation the loss of all levels is multiplied up by the excess, at
 * most fourfold and never downwards: draws that nobody logged, a leak or too small a measured fall all cost water.
 * Null without three dry weeks. `store` has no rise of its own. Source: judged in simulated seasons, see docs/methods.md.
 */
export function lossRise({
  store,
  stretches,
}: {
  store: StorageModel
  /** Oldest first, each beginning where the one before ended. */
  stretches: readonly SeenStretch[]
}): LossRise | null {
  const seen = lastDryWeeks(stretches)
  const [first, last] = [seen[0], seen.at(-1)]
  if (!first || !last || daysOf(seen) < LEAST_DAYS) return null
  let [storedM3, expectedM3] = [first.openingM3, 0]
  for (const { days, drawnM3 } of seen) {
    for (let day = 0; day < days; day++) {
      const lossM3 = dailyLossAtM3(store, Math.max(0, storedM3))
      storedM3 -= lossM3 + drawnM3 / days
      expectedM3 += lossM3
    }
  }
  const lostM3 = first.openingM3 - last.closingM3 - sum(seen, ({ drawnM3 }) => drawnM3)
  const lowerCm = 100 * (levelAtM(store, Math.max(0, storedM3)) - last.closingLevelM)
  const excess = expectedM3 > 0 ? Math.max(0, lostM3 / expectedM3 - 1) : Number.POSITIVE_INFINITY
  const rise = lowerCm > BEYOND_CM ? Math.min(MOST_LOSS_RISE, 1 + excess) : 1
  return { rise, lostM3, expectedM3, lowerCm, fromOn: first.fromOn, toOn: last.toOn }
}

/** Back from the last reading, until four weeks are seen or rain fell. */
function lastDryWeeks(stretches: readonly SeenStretch[]): SeenStretch[] {
  const seen: SeenStretch[] = []
  for (const stretch of stretches.toReversed()) {
    if (stretch.kind !== 'dry' || (seen[0] && seen[0].fromOn !== stretch.toOn) || daysOf(seen) >= MOST_DAYS) break
    seen.unshift(stretch)
  }
  return seen
}

function daysOf(seen: readonly SeenStretch[]): number {
  return sum(seen, ({ days }) => days)
}
