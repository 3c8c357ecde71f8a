import { type CalendarDate, daysBetween } from '../../calendar.ts'
import type { EvidenceGrade } from '../sand/body.ts'
import { dailyLossAtM3, type StorageModel } from './store.ts'

/** How long beyond the late date of rain a group must be able to drink, as it said in plain words. */
export interface DrinkingCaution {
  /** Weeks by which the latest rain that anybody remembers came after the late date; null where nobody said. */
  rememberedWeeks: number | null
  /** Weeks for which the group can fetch its drinking water elsewhere; 0 where it cannot. */
  fetchWeeks: number
}

/** As long as a group has said nothing: it cannot fetch elsewhere. */
export const CAREFUL: DrinkingCaution = { rememberedWeeks: null, fetchWeeks: 0 }

const USUAL_EXTRA_WEEKS = 4
const EXTRA_WEEKS_WHILE_GUESSED = 6

/**
 * Weeks of drinking that are kept beyond the late date of rain: as late as the rain once came, else four; at least six
 * while the store is only guessed; less what can be fetched elsewhere. The figures come from simulated seasons, see
 * docs/methods.md.
 */
export function extraDrinkingWeeks({
  grade,
  rememberedWeeks,
  fetchWeeks,
}: DrinkingCaution & { grade: EvidenceGrade }): number {
  const least = grade === 'guessed' ? EXTRA_WEEKS_WHILE_GUESSED : 0
  return Math.max(0, Math.max(rememberedWeeks ?? USUAL_EXTRA_WEEKS, least) - fetchWeeks)
}

export interface KeepUntil {
  lateRainOn: CalendarDate
  /** Weeks of drinking beyond that date; see `extraDrinkingWeeks`. */
  extraWeeks: number
}

/**
 * Days for which drinking water must stand on a date: to the late date of rain and the extra weeks beyond. Once that
 * date is past without rain the extra weeks begin anew each day, and never less than a week: people still drink.
 */
export function daysToKeep({ fromOn, lateRainOn, extraWeeks }: KeepUntil & { fromOn: CalendarDate }): number {
  return Math.max(7, Math.max(0, daysBetween(fromOn, lateRainOn)) + 7 * extraWeeks)
}

/**
 * The least stored volume, m3, from which people can drink for 0, 1, 2 ... days without rain before the store falls to
 * its floor, the sand's own loss at each level taken off. Backwards along the path: V(n) - loss(V(n)) - drinking = V(n - 1).
 * More than the weir can hold where no filling would carry them.
 */
export function drinkingLineM3({
  store,
  dailyDrinkingM3: drunkM3,
  days,
}: {
  store: StorageModel
  dailyDrinkingM3: number
  days: number
}): Float64Array {
  const lineM3 = new Float64Array(days + 1)
  lineM3[0] = store.floorM3
  for (let day = 1; day <= days; day++) {
    const nextM3 = lineM3[day - 1]!
    let neededM3 = nextM3 + drunkM3 + dailyLossAtM3(store, nextM3)
    // Loss changes little with a day's fall, so that this settles within a few rounds.
    for (let round = 0; round < 40; round++) {
      const againM3 = nextM3 + drunkM3 + dailyLossAtM3(store, neededM3)
      const settled = Math.abs(againM3 - neededM3) < 1e-9
      neededM3 = againM3
      if (settled) break
    }
    lineM3[day] = neededM3
  }
  return lineM3
}

/**
 * Water above the off-take, m3, that is kept for people and animals on a date: what the path of the store needs with
 * drinking alone, so that it stays above its floor to the late date of rain and the extra weeks beyond.
 */
export function reserveM3({
  store,
  dailyDrinkingM3,
  fromOn,
  lateRainOn,
  extraWeeks,
}: KeepUntil & { store: StorageModel; dailyDrinkingM3: number; fromOn: CalendarDate }): number {
  const days = daysToKeep({ fromOn, lateRainOn, extraWeeks })
  return drinkingLineM3({ store, dailyDrinkingM3, days })[days]! - store.offTakeM3
}
