import { type CalendarDate, daysBetween } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { litresToM3, type M3 } from '../../units.ts'
import type { EvidenceGrade } from '../sand/body.ts'
import { dailyLossAtM3, type StorageModel } from './store.ts'

interface WaterUsers {
  kind: string
  heads: number
  litresPerHeadDay: number
}

/** What people, school and animals of a weir drink in a day, m3, from the head counts that the group declared. */
export function dailyDrinkingM3({ users }: { users: readonly WaterUsers[] }): number {
  let litres = 0
  for (const { kind, heads, litresPerHeadDay } of users) {
    if (!(heads >= 0)) throw new InputError('heads-below-zero', { kind, heads })
    if (!(litresPerHeadDay >= 0)) throw new InputError('litres-below-zero', { kind, litresPerHeadDay })
    litres += heads * litresPerHeadDay
  }
  return litresToM3(litres)
}

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
  dailyDrinkingM3: M3
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

export interface DrinkingReserve {
  /** Water above the off-take that is kept; the three parts below add up to it. */
  reserveM3: M3
  drinkingM3: M3
  /** What the sand loses meanwhile, at the level to which it falls. */
  lossM3: M3
  /** Between the off-take and the floor of every plan. */
  marginM3: M3
  days: number
}

/**
 * What is kept for people and animals on a date, m3 above the off-take: as much as the path of the store needs with
 * drinking alone to stay above its floor to the late date of rain and the extra weeks beyond. Source: `drinkingLineM3`.
 */
export function drinkingReserve({
  store,
  dailyDrinkingM3,
  ...when
}: KeepUntil & { store: StorageModel; dailyDrinkingM3: M3; fromOn: CalendarDate }): DrinkingReserve {
  const days = daysToKeep(when)
  const storedM3 = drinkingLineM3({ store, dailyDrinkingM3, days })[days]!
  const drinkingM3 = dailyDrinkingM3 * days
  const marginM3 = store.floorM3 - store.offTakeM3
  const lossM3 = storedM3 - store.floorM3 - drinkingM3
  return { reserveM3: storedM3 - store.offTakeM3, drinkingM3, lossM3, marginM3, days }
}
