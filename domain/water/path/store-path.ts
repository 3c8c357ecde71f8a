import { addDays, type CalendarDate, daysBetween } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import type { M3 } from '../../units.ts'
import { lengthOfWeek, type WeekLengths, weekByDay } from '../../weeks.ts'
import { daysToKeep, type KeepUntil } from './reserve.ts'
import { dailyLossAtM3, levelAtM, type StorageModel } from './store.ts'

/** A share rises by no more than a fifth of itself from one week to the next, or to a tenth; it falls freely. */
const MOST_RISE = 0.2
const LEAST_RISE_TO = 0.1

const HAIR_M3 = 1e-6

interface PathInput extends KeepUntil {
  store: StorageModel
  /** Drainable water, m3, when the week begins: always by the last reading, never averaged with an earlier path. */
  storedM3: M3
  weekStartOn: CalendarDate
  /** Of this week and of each after it; seven where left out. */
  daysInWeek?: WeekLengths
  dailyDrinkingM3: M3
  /** Gross need, m3, of the weir's plots in this week and in each one after it; nothing beyond the end of the list. */
  needsM3: readonly number[]
  /** What crops that come first are given in full, m3 by week. */
  givenM3?: readonly number[]
}

interface StorePathInput extends PathInput {
  /** The share of an earlier week, which holds back a rise; null where there was none. */
  before?: { share: number; weeksAgo: number } | null
}

interface PathWeek {
  fromOn: CalendarDate
  /** When the week begins. */
  storedM3: M3
  levelM: number
  drinkingM3: M3
  lossM3: M3
  cropsM3: M3
}

export interface StorePath {
  /** Part of the need, 0..1, that every week to the late date of rain can have alike. */
  share: number
  /** The same before a rise is held back. */
  bearableShare: number
  /** What may be drawn this week, m3, drinking included. */
  releaseM3: M3
  /** Above the off-take when the week begins. */
  availableM3: M3
  heldBy: 'need' | 'path' | 'rise' | 'drinking-only' | 'nothing-above-off-take'
  /** First day that drinking alone brings the store to its floor; null where it lasts as long as it must. */
  firstDryOn: CalendarDate | null
  keepUntilOn: CalendarDate
  /** Where all that stands above the floor goes on this path, m3; the parts add up to it. */
  parts: {
    aboveFloorM3: M3
    drinkingM3: M3
    lossM3: M3
    cropsM3: M3
    laterCropsM3: M3
    leftM3: M3
  }
  /** Of this week's crops, m3 that the sand would lose until the path ends if their water stayed in it. */
  lostIfLeftM3: M3
  weeks: PathWeek[]
}

/**
 * The path of the store, by which everything is planned: from the volume that stands, day by day without rain, less
 * drinking, the loss at that level and an equal share of each week's need, to the late date of rain; drinking and loss
 * alone for the extra weeks beyond. The share is the largest of 0..1 with which the store never falls below its floor,
 * so that what is given now is not taken from a later week. Where even drinking alone does not last, what remains is
 * for drinking and the first dry day is named. Volumes in m3. Source: continuity; docs/methods.md tells what simulated
 * seasons decided. Throws InputError `storage-below-zero` and `need-below-zero`.
 */
export function storePath(input: StorePathInput): StorePath {
  check(input)
  const { store, storedM3, dailyDrinkingM3, needsM3, before } = input
  const bearable = largestShare(input, 1)
  const bearableShare = Math.max(0, bearable)
  const share = before ? Math.min(bearableShare, mostAfter(before)) : bearableShare
  const availableM3 = Math.max(0, storedM3 - store.offTakeM3)
  const releaseM3 = Math.min(availableM3, daysOf(input, 0) * dailyDrinkingM3 + share * (needsM3[0] ?? 0))
  const walked = walk(input, share)
  return {
    share,
    bearableShare,
    releaseM3,
    availableM3,
    heldBy: heldBy({ availableM3, bearable, share }),
    firstDryOn: walked.firstDryOn,
    keepUntilOn: addDays(input.weekStartOn, lengthOf(input).days),
    parts: walked.parts,
    lostIfLeftM3: lostIfLeftM3(input, walked, share),
    weeks: walked.weeks,
  }
}

/** The same path with nothing for this week's crops ends higher, but not by all that they would have had. */
function lostIfLeftM3(input: StorePathInput, { parts }: ReturnType<typeof walk>, share: number): number {
  const { needsM3, givenM3 } = input
  const without = walk(
    { ...input, needsM3: [0, ...needsM3.slice(1)], ...(givenM3 && { givenM3: [0, ...givenM3.slice(1)] }) },
    share,
  )
  return Math.max(0, parts.cropsM3 - (without.parts.leftM3 - parts.leftM3))
}

/**
 * The largest multiple of the needs, up to `most`, with which the path never falls below the floor; -1 where even
 * drinking alone does. With the needs of one square metre it is the ground, m2, that the weir carries.
 */
export function largestShare(input: PathInput, most: number): number {
  if (holds(input, most)) return most
  if (!holds(input, 0)) return -1
  let [lower, upper] = [0, most]
  while (upper - lower > 1e-6 * most) {
    const middle = (lower + upper) / 2
    if (holds(input, middle)) lower = middle
    else upper = middle
  }
  return lower
}

/** Days that go without their whole drinking water of those for which it must last, from the first dry one on. Source: counted. */
export function daysShort(path: { fromOn: CalendarDate; firstDryOn: CalendarDate; keepUntilOn: CalendarDate }): {
  days: number
  ofDays: number
} {
  const ofDays = daysBetween(path.fromOn, path.keepUntilOn)
  return { days: Math.max(0, daysBetween(path.firstDryOn, path.keepUntilOn)), ofDays }
}

/** Without rain the store only falls, so that it is enough to look at the end of the path. */
function holds(input: PathInput, share: number): boolean {
  const { store, dailyDrinkingM3 } = input
  const { days, irrigated } = lengthOf(input)
  const weekOf = weekByDay(input.daysInWeek ?? 7, irrigated)
  let storedM3 = input.storedM3
  for (let day = 0; day < days; day++) {
    const cropsM3 = day < irrigated ? dayCropsM3(input, weekOf[day]!, share) : 0
    storedM3 -= dailyLossAtM3(store, storedM3) + dailyDrinkingM3 + cropsM3
    if (storedM3 < store.floorM3) return false
  }
  return true
}

/** Days of the path, and those of them on which crops are watered: to the late date, at least this week. */
function lengthOf(input: PathInput) {
  const { weekStartOn, lateRainOn, extraWeeks } = input
  const thisWeek = daysOf(input, 0)
  const days = Math.max(thisWeek, daysToKeep({ fromOn: weekStartOn, lateRainOn, extraWeeks }))
  return { days, irrigated: Math.max(thisWeek, daysBetween(weekStartOn, lateRainOn)) }
}

function daysOf({ daysInWeek = 7 }: PathInput, week: number): number {
  return lengthOfWeek(daysInWeek, week)
}

function dayCropsM3(input: PathInput, week: number, share: number): number {
  const { needsM3, givenM3 } = input
  return ((givenM3?.[week] ?? 0) + share * (needsM3[week] ?? 0)) / daysOf(input, week)
}

function mostAfter({ share, weeksAgo }: { share: number; weeksAgo: number }): number {
  return Math.max(LEAST_RISE_TO, share * (1 + MOST_RISE) ** Math.max(1, weeksAgo))
}

function heldBy(found: { availableM3: M3; bearable: number; share: number }): StorePath['heldBy'] {
  if (found.availableM3 === 0) return 'nothing-above-off-take'
  if (found.bearable < 0) return 'drinking-only'
  if (found.share < found.bearable) return 'rise'
  return found.share < 1 ? 'path' : 'need'
}

function walk(input: PathInput, share: number) {
  const { store, weekStartOn, dailyDrinkingM3 } = input
  const { days, irrigated } = lengthOf(input)
  const weekOf = weekByDay(input.daysInWeek ?? 7, days)
  const weeks: PathWeek[] = []
  let storedM3 = input.storedM3
  let firstDryOn: CalendarDate | null = storedM3 < store.floorM3 ? weekStartOn : null
  for (let day = 0; day < days; day++) {
    if (weekOf[day] !== weekOf[day - 1])
      weeks.push({
        fromOn: addDays(weekStartOn, day),
        storedM3,
        levelM: levelAtM(store, storedM3),
        drinkingM3: 0,
        lossM3: 0,
        cropsM3: 0,
      })
    const week = weeks.at(-1)!
    const lossM3 = dailyLossAtM3(store, storedM3)
    const drinkingM3 = Math.min(dailyDrinkingM3, storedM3 - lossM3)
    const askedM3 = day < irrigated ? dayCropsM3(input, weekOf[day]!, share) : 0
    const cropsM3 = Math.min(askedM3, storedM3 - lossM3 - drinkingM3)
    storedM3 -= lossM3 + drinkingM3 + cropsM3
    week.lossM3 += lossM3
    week.drinkingM3 += drinkingM3
    week.cropsM3 += cropsM3
    // A hair below the floor is the halving's own doubt; people who get less than their water went without, wherever the floor lies.
    const isDry = storedM3 < store.floorM3 - HAIR_M3 || drinkingM3 < dailyDrinkingM3 - HAIR_M3
    if (firstDryOn === null && isDry) firstDryOn = addDays(weekStartOn, day)
  }
  const sum = (of: 'drinkingM3' | 'lossM3' | 'cropsM3') => weeks.reduce((total, week) => total + week[of], 0)
  const cropsM3 = weeks[0]?.cropsM3 ?? 0
  const parts = {
    aboveFloorM3: input.storedM3 - store.floorM3,
    drinkingM3: sum('drinkingM3'),
    lossM3: sum('lossM3'),
    cropsM3,
    laterCropsM3: sum('cropsM3') - cropsM3,
    leftM3: storedM3 - store.floorM3,
  }
  return { weeks, firstDryOn, parts }
}

function check({ storedM3, needsM3 }: PathInput): void {
  if (!(storedM3 >= 0)) throw new InputError('storage-below-zero', { storedM3 })
  for (const needM3 of needsM3) if (!(needM3 >= 0)) throw new InputError('need-below-zero', { needM3 })
}
