import { type Chance, chanceOf } from '../chance.ts'
import type { Rest } from '../rest.ts'
import { levelM, lossM3PerDay, type Store, storedM3, storeOf } from '../sand.ts'

/**
 * The second world, much wider and simpler than the valley: one store a season, from 100 to 20,000 m3, with a table that is 40
 * per cent too low to 60 too high, sand that loses nothing or much, banks that give and then stop, rain up to eight weeks late,
 * and draws that nobody writes down. It asks one thing: who goes without drinking water.
 */
export interface WideSeason {
  seed: number
  store: Store
  offTakeLevelM: number
  offTakeM3: number
  startM3: number
  openWaterMm: number
  seenOpenWaterMm: number
  drinkingM3PerDay: number
  /** The banks give so much a day until the day on which they stop. */
  bankM3PerDay: number
  bankStopsDay: number
  lateDay: number
  onsetDay: number
  /** By which the latest of ten rains before came after the late day; null where nobody said. */
  rememberedWeeks: number | null
  unloggedPart: number
  needsM3: readonly number[]
  tableM3: readonly { levelM: number; m3: number }[]
  isGuessed: boolean
  readingErrorM: readonly number[]
  /** Of the fall in all over a rest, cm. */
  restErrorCm: { before: readonly number[]; byRest: readonly number[] }
}

const WEEKS = 40

export function wideSeason(seed: number): WideSeason {
  const chance = chanceOf(seed * 104729 + 5)
  const store = wideStore(chance)
  const { heightM } = store.sand
  const offTakeLevelM = heightM * chance.between(0.08, 0.35)
  const offTakeM3 = storedM3(store, offTakeLevelM)
  const startM3 = storedM3(store, heightM * chance.between(0.6, 0.9))
  const usableM3 = startM3 - offTakeM3
  const lateDay = Math.round(chance.between(90, 200))
  const rains = Array.from({ length: 11 }, () => latenessDays(chance))
  const openWaterMm = chance.between(3, 7)
  const bankGives = chance.happens(0.3)
  return {
    seed,
    store,
    offTakeLevelM,
    offTakeM3,
    startM3,
    lateDay,
    openWaterMm,
    seenOpenWaterMm: openWaterMm * (1 + 0.15 * chance.normal()),
    drinkingM3PerDay: (usableM3 * chance.between(0.05, 0.25)) / lateDay,
    bankM3PerDay: bankGives ? startM3 * chance.between(0.0005, 0.005) : 0,
    bankStopsDay: Math.round(chance.between(20, 90)),
    onsetDay: Math.round(lateDay + rains[0]!),
    rememberedWeeks: chance.happens(0.5) ? Math.ceil(Math.max(0, ...rains.slice(1)) / 7) : null,
    unloggedPart: chance.between(0, 0.4),
    needsM3: wideNeeds(chance, usableM3, lateDay),
    tableM3: wideTable(chance, store),
    isGuessed: chance.happens(0.4),
    ...wideErrors(chance),
  }
}

/** Half of the rains are in time; the others come up to eight weeks late, the latest seldom. */
function latenessDays(chance: Chance): number {
  return chance.happens(0.5) ? -28 * chance.part() : 56 * chance.part() ** 1.5
}

function wideStore(chance: Chance): Store {
  const heightM = chance.between(1, 4)
  const upperYield = chance.between(0.1, 0.32)
  const fullM3 = 100 * 200 ** chance.part()
  return storeOf({
    heightM,
    upperYield,
    shape: chance.between(0.4, 2.2),
    bulkM3: fullM3 / upperYield,
    lowerYield: upperYield * chance.between(0.5, 1.1),
    borderM: heightM * chance.between(0.2, 0.7),
    dryingDepthM: chance.between(0.25, 0.5),
    leakM3PerDayPerM: chance.happens(0.2) ? 0 : (fullM3 * 0.006 * chance.part() ** 2) / heightM,
  })
}

/** Crops that need from a third of what stands to far more than it, rising, level and falling towards the late day. */
function wideNeeds(chance: Chance, usableM3: number, lateDay: number): number[] {
  const weeks = Math.ceil((lateDay - chance.between(7, 28)) / 7)
  const shape = Array.from({ length: WEEKS }, (_, week) =>
    week < weeks ? Math.min(1, 0.4 + (1.8 * week) / weeks, 0.5 + (1.6 * (weeks - week)) / weeks) : 0,
  )
  const total = shape.reduce((sum, one) => sum + one, 0)
  const needM3 = usableM3 * chance.between(0.2, 1)
  return shape.map((one) => (one / total) * needM3)
}

/** The foot and the top of a table err each by themselves. */
function wideTable(chance: Chance, store: Store) {
  const [foot, top] = [chance.between(-0.4, 0.6), chance.between(-0.4, 0.6)]
  let m3 = 0
  return Array.from({ length: 21 }, (_, row) => {
    const atM = (row / 20) * store.sand.heightM
    m3 = Math.max(m3, storedM3(store, atM) * (1 + foot + ((top - foot) * row) / 20))
    return { levelM: atM, m3 }
  })
}

/** A tape may read high all season, by a worn mark or a bent stick; a rest errs by two readings. */
function wideErrors(chance: Chance) {
  const biasM = chance.between(-0.02, 0.03)
  const readingErrorM = Array.from({ length: WEEKS }, () => biasM + 0.012 * chance.normal())
  const errors = (length: number) => Array.from({ length }, () => 1.5 * Math.SQRT2 * chance.normal())
  return { readingErrorM, restErrorCm: { before: errors(5), byRest: errors(WEEKS / 4) } }
}

/** What a week's plan may look at. */
export interface WideSeen {
  week: number
  day: number
  levelM: number
  drawnM3: number
  rests: readonly Rest[]
  openWaterMm: number
  needsM3: readonly number[]
}

/** Asked on the first morning of each week; answers m3, drinking included. */
export type WidePolicy = (season: WideSeason) => (seen: WideSeen) => number

export interface WideOutcome {
  yield: number
  /** First day without the whole drinking water before the rain; null where there was none. */
  dryDay: number | null
  /** All such days. */
  dryDays: number
}

/** FAO-33, Ky of the whole season: a middle of the crops that groups of this kind grow. */
const RESPONSE = 1.1

export function runWide(season: WideSeason, policy: WidePolicy | null): WideOutcome {
  const { store, offTakeM3, drinkingM3PerDay, needsM3 } = season
  const ask = policy?.(season)
  let [storedNowM3, dryDay, usedM3, drawnM3] = [season.startM3, null as number | null, 0, 0]
  let [cropsM3PerDay, dryDays] = [0, 0]
  for (let day = 0; day < season.onsetDay; day++) {
    if (ask && day % 7 === 0) {
      const week = day / 7
      const trueLevelM = levelM(store, storedNowM3)
      const seenLevelM = trueLevelM + season.readingErrorM[week]!
      const rests = week % 4 === 0 ? restsAt(season, storedNowM3, { day, week, trueLevelM, seenLevelM }) : []
      const seen = { week, day, levelM: seenLevelM, drawnM3, rests, openWaterMm: season.seenOpenWaterMm }
      const releasedM3 = ask({ ...seen, needsM3: needsM3.slice(week) })
      cropsM3PerDay = Math.max(0, Math.min(needsM3[week]!, releasedM3 - 7 * drinkingM3PerDay)) / 7
      drawnM3 = 0
    }
    const drunkM3 = Math.min(drinkingM3PerDay, Math.max(0, storedNowM3 - offTakeM3))
    if (drunkM3 < drinkingM3PerDay) {
      dryDay ??= day
      dryDays++
    }
    // What nobody writes down is drawn beside what the plan gives; it waters crops all the same.
    const takenM3 = Math.min(cropsM3PerDay / (1 - season.unloggedPart), Math.max(0, storedNowM3 - drunkM3 - offTakeM3))
    const loggedM3 = takenM3 * (1 - season.unloggedPart)
    usedM3 += Math.min(takenM3, needsM3[Math.floor(day / 7)]! / 7)
    drawnM3 += loggedM3 + drinkingM3PerDay
    storedNowM3 = nextM3(season, storedNowM3, day, drunkM3 + takenM3)
  }
  const wantedM3 = needsM3.reduce((sum, needM3) => sum + needM3, 0)
  return { yield: Math.max(0, 1 - RESPONSE * (1 - Math.min(1, usedM3 / wantedM3))), dryDay, dryDays }
}

function nextM3(season: WideSeason, nowM3: number, day: number, takenM3: number): number {
  const { store, openWaterMm } = season
  const bankM3 = day < season.bankStopsDay ? season.bankM3PerDay : 0
  const lossM3 = lossM3PerDay(store, levelM(store, nowM3), openWaterMm)
  return Math.min(store.fullM3, Math.max(0, nowM3 - takenM3 - lossM3 + bankM3))
}

/** Five rests of two days before the season, then one of three days every fourth week. */
function restsAt(
  season: WideSeason,
  nowM3: number,
  at: { day: number; week: number; trueLevelM: number; seenLevelM: number },
): Rest[] {
  const fellCm = 100 * (at.trueLevelM - levelM(season.store, nextM3(season, nowM3, at.day, 0)))
  const errors = at.week === 0 ? season.restErrorCm.before : [season.restErrorCm.byRest[at.week / 4]!]
  const days = at.week === 0 ? 2 : 3
  return errors.map((errorCm) => ({ days, cmPerDay: fellCm + errorCm / days, atLevelM: at.seenLevelM }))
}

export interface WideSummary {
  meanYield: number
  /** Parts of the seasons in which drinking alone would have held to the rain, or to the late day. */
  dryBeforeRain: number
  dryBeforeLate: number
  /** On more days than a group that fetches its water elsewhere for three weeks can bridge. */
  dryBeyondFetching: number
  /** Parts of those seasons alone whose rain came by the late day, and of those in which it came six weeks after it or later. */
  dryOnTime: number
  drySixWeeksLate: number
}

const FETCHED_DAYS = 21
const SIX_WEEKS_DAYS = 42

/** Failures count only where drinking alone would have been met to the end. */
export function judgedWide(seasons: readonly WideSeason[], policy: WidePolicy): WideSummary {
  const ends = seasons.map((season) => ({ season, ...runWide(season, policy) }))
  const bearable = ends.filter(({ season }) => isBearable(season))
  const part = (fails: (end: (typeof ends)[number]) => boolean) => bearable.filter(fails).length / bearable.length
  const dryAmong = (late: (days: number) => boolean) => {
    const among = bearable.filter(({ season }) => late(season.onsetDay - season.lateDay))
    return among.filter(({ dryDay }) => dryDay !== null).length / Math.max(1, among.length)
  }
  return {
    meanYield: ends.reduce((sum, end) => sum + end.yield, 0) / ends.length,
    dryBeforeRain: part(({ dryDay }) => dryDay !== null),
    dryBeforeLate: part(({ season, dryDay }) => dryDay !== null && dryDay < season.lateDay),
    dryBeyondFetching: part(({ dryDays }) => dryDays > FETCHED_DAYS),
    dryOnTime: dryAmong((days) => days <= 0),
    drySixWeeksLate: dryAmong((days) => days >= SIX_WEEKS_DAYS),
  }
}

const bearableSeasons = new WeakMap<WideSeason, boolean>()

function isBearable(season: WideSeason): boolean {
  const known = bearableSeasons.get(season) ?? runWide(season, null).dryDay === null
  bearableSeasons.set(season, known)
  return known
}
