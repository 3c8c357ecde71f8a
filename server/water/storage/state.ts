import { addDays, type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { USUAL_RAIN_MARK_MM } from '../../../domain/water/balance/input.ts'
import { type BookRest, restsOf } from '../../../domain/water/loss/rests.ts'
import { type LossRise, lossRise } from '../../../domain/water/path/loss-rise.ts'
import {
  CAREFUL,
  type DrinkingCaution,
  type DrinkingReserve,
  dailyDrinkingM3,
  drinkingReserve,
  extraDrinkingWeeks,
} from '../../../domain/water/path/reserve.ts'
import { dailyLossAtM3, type StorageModel, type StoreLoss, storageModel } from '../../../domain/water/path/store.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import { type StorageNow, storageNow } from '../../../domain/water/sand/storage-now.ts'
import { kept, lettingOthersIn } from '../../book/kept-answers.ts'
import { readAhead } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import { currentGroup } from '../../people/group/store.ts'
import { levelReadingOf, listReadings, type Reading, standingReadings } from '../level/store.ts'
import { bodyOf, levelsOf, spanOfUnmeasured, type WeirSurvey } from '../sand/description.ts'
import { surveysOn } from '../sand/description-store.ts'
import { drinkingCautionOn, type WaterUserSet, waterSettingOn, waterUsersOn } from '../users/store.ts'
import { weatherRows } from '../weather/store.ts'
import { listWeirs, type Weir } from '../weir/store.ts'
import { type RestDue, restDue, storeLoss } from './loss.ts'
import { type OpenWaterByDay, openWaterByDay, openWaterOfRests } from './open-water-store.ts'
import {
  type BookStretch,
  DAYS_OF_RESTS,
  type DoubtedReading,
  doubtedReadings,
  type SeenBook,
  seenBook,
  seenQuestions,
  seenStretches,
} from './seen-store.ts'
import { countUntyped, type Untyped } from './untyped-store.ts'

/** All that is known of one weir's water on a day. */
export interface WaterState {
  weir: Weir
  on: CalendarDate
  survey: WeirSurvey | null
  body: SandBody | null
  /** Mouth of the off-take above the group's datum; null while nobody has described the sand. */
  offTakeLevelM: number | null
  /** The last reading that rules. */
  reading: Reading | null
  /** Later ones that another has to bear out before they rule, and earlier ones that none ever did. */
  doubts: DoubtedReading[]
  /** The last reading of all, where it is one of these. */
  doubted: DoubtedReading | null
  /** Agreed turns since the reading of which nobody has written a word; they count as drawn. */
  untyped: Untyped
  /** Age of the reading; null without one. */
  ageDays: number | null
  /** What left the sand since: drawn by the log or agreed without a word since, drunk by count, lost. */
  since: { days: number; drawnM3: M3; drunkM3: M3; lostM3: M3 }
  storage: StorageNow
  users: WaterUserSet | null
  /** Null while nobody has counted who drinks there. */
  dailyDrinkingM3: number | null
  /** Rests of the pump in the last year, under the present survey, oldest first. */
  rests: BookRest[]
  /** What open water gave off on their days, mm a day; null while that weather is not written. */
  openWaterMm: number | null
  /** A rest is asked for; null while none is. */
  restDue: RestDue | null
  /** By what the loss is reckoned at every level; null while nobody has described the sand. */
  loss: StoreLoss | null
  /** By which the path of the store steps; null likewise. */
  store: StorageModel | null
  /** What the last dry weeks say of the loss; null without three of them. */
  rise: LossRise | null
  /** By the path, at the level of the reading; 0 while that is not known. */
  dailyLossM3: M3
  isLossKnown: boolean
  lateRainOn: CalendarDate | null
  /** Weeks of drinking that are kept beyond that date. */
  extraWeeks: number
  /** Water to keep on this day for people and animals; null while a part of it is not known. */
  reserve: DrinkingReserve | null
}

/** The weirs from the head of the stream to its tail. */
export function waterStates(db: Database, { on }: { on: CalendarDate }): Promise<WaterState[]> {
  return kept(db, 'water of the weirs', on, () => readStates(db, on))
}

async function readStates(db: Database, on: CalendarDate): Promise<WaterState[]> {
  const surveys = await surveysOn(db, on)
  const setting = await waterSettingOn(db, on)
  const seen = { on, rainMarkMm: setting?.wetRainMm ?? USUAL_RAIN_MARK_MM }
  const yearBefore = { fromOn: addDays(on, -DAYS_OF_RESTS), toOn: on }
  readAhead(db, standingReadings(db, { toOn: on }), weatherRows(db, yearBefore), ...seenQuestions(db, seen))
  const readings = await listReadings(db, { toOn: on })
  const users = await waterUsersOn(db, on)
  const book = await seenBook(db, seen)
  const caution = (await drinkingCautionOn(db, on)) ?? CAREFUL
  const group = await currentGroup(db)
  const openWater = await openWaterByDay(db, { group, ...yearBefore })
  const states: WaterState[] = []
  for (const weir of await listWeirs(db)) {
    await lettingOthersIn()
    const own = readings.filter(({ weirId }) => weirId === weir.id)
    const known = { survey: surveys.get(weir.id) ?? null, users: users.get(weir.id) ?? null, readings: own }
    states.push(
      stateOf({ weir, on, ...known, lateRainOn: setting?.lateRainOn ?? null, caution, book, group, openWater }),
    )
  }
  return states
}

interface Known extends Pick<WaterState, 'weir' | 'on' | 'survey' | 'users' | 'lateRainOn'> {
  /** Of this weir, oldest first. */
  readings: readonly Reading[]
  caution: DrinkingCaution
  book: SeenBook
  group: Group | undefined
  openWater: OpenWaterByDay
}

function stateOf({ readings: all, caution, book, group, openWater, ...known }: Known): WaterState {
  const { weir, on, survey, users, lateRainOn } = known
  const body = survey && bodyOf(survey)
  const drunkM3 = users && dailyDrinkingM3({ users: users.users })
  const doubts =
    survey && body ? doubtedReadings({ weir, survey, body, readings: all, drunkM3: drunkM3 ?? 0, book }) : []
  const readings = all.filter(({ id }) => !doubts.some((one) => one.reading.id === id))
  const reading = readings.at(-1) ?? null
  const doubted = doubts.at(-1)?.reading === all.at(-1) ? (doubts.at(-1) ?? null) : null
  const storage = storageOf({ survey, body, reading, doubted, on })
  const stretches = body ? seenStretches({ body, readings, dailyDrinkingM3: drunkM3 ?? 0, book }, on) : []
  const ownStretches = stretches.filter(({ fromOn }) => survey && fromOn >= survey.surveyedOn)
  const rests = body ? restsOf({ stretches: ownStretches, body }) : []
  const openWaterMm = openWaterOfRests(openWater, rests)
  const loss = survey && body && storeLoss({ survey, body, readings, rests, openWaterMm })
  const measured = loss && storageModel({ body, loss, ...levelsFor(survey, storage) })
  const rise = measured && lossRise({ store: measured, stretches: lately(stretches, on) })
  const store = measured && { ...measured, rise: rise?.rise ?? 1 }
  const dailyLossM3 = store && !storage.cannotSay ? dailyLossAtM3(store, storage.drainable.likelyM3) : 0
  const extraWeeks = extraDrinkingWeeks({ ...caution, grade: body?.grade ?? 'guessed' })
  return {
    ...known,
    reading,
    doubts,
    doubted,
    untyped: countUntyped(
      book.untyped.filter((turn) => turn.weirId === weir.id && reading !== null && turn.onDate >= reading.readOn),
    ),
    body,
    offTakeLevelM: survey && levelsOf(survey).offTakeLevelM,
    ageDays: reading && daysBetween(reading.readOn, on),
    storage,
    dailyDrinkingM3: drunkM3,
    rests,
    openWaterMm,
    restDue: restDue({ on, season: group ?? null, reading, rests }),
    loss,
    store,
    rise,
    since: takenSince({ weir, reading, book, on, drunkM3: drunkM3 ?? 0, dailyLossM3 }),
    dailyLossM3,
    isLossKnown: storage.cannotSay === null && (rests.length > 0 || survey?.lossCmPerDay != null),
    extraWeeks,
    reserve:
      store === null || drunkM3 === null || lateRainOn === null
        ? null
        : drinkingReserve({ store, dailyDrinkingM3: drunkM3, fromOn: on, lateRainOn, extraWeeks }),
  }
}

interface Taken extends Pick<WaterState, 'weir' | 'reading' | 'on' | 'dailyLossM3'> {
  book: SeenBook
  drunkM3: M3
}

/** A dawn reading stands before the draws of its own day, so those count as taken since. */
function takenSince({ weir, reading, book, on, drunkM3, dailyLossM3 }: Taken): WaterState['since'] {
  if (!reading) return { days: 0, drawnM3: 0, drunkM3: 0, lostM3: 0 }
  const days = daysBetween(reading.readOn, on)
  const drawn = book.drawn.filter(({ weirId, onDate }) => weirId === weir.id && reading.readOn <= onDate && onDate < on)
  return {
    days,
    drawnM3: sum(drawn, ({ cropsM3 }) => cropsM3),
    drunkM3: drunkM3 * days,
    lostM3: dailyLossM3 * days,
  }
}

/** Older readings say nothing of the last four dry weeks. */
const DAYS_LOOKED_BACK = 60

function lately(stretches: readonly BookStretch[], on: CalendarDate): BookStretch[] {
  return stretches.filter(({ fromOn }) => fromOn >= addDays(on, -DAYS_LOOKED_BACK))
}

function levelsFor(survey: WeirSurvey, storage: StorageNow) {
  const { offTakeLevelM } = levelsOf(survey)
  return { offTakeLevelM, levelErrorCm: storage.cannotSay ? 0 : storage.levelErrorCm }
}

interface Stored {
  survey: WeirSurvey | null
  body: SandBody | null
  reading: Reading | null
  doubted: DoubtedReading | null
  on: CalendarDate
}

/** The mark is that of the day of reading, the sand that of today: a wall raised since then holds the same water. */
function storageOf({ survey, body, reading, doubted, on }: Stored): StorageNow {
  const levels = survey ? levelsOf(survey) : { offTakeLevelM: 0, markLevelM: 0 }
  const markLevelM = reading?.waterLevelM == null ? levels.markLevelM : reading.waterLevelM + reading.depthCm / 100
  return storageNow({
    body,
    offTakeLevelM: levels.offTakeLevelM,
    markLevelM,
    reading: reading && levelReadingOf(reading),
    doubtedLevelM: doubted?.reading.waterLevelM ?? null,
    ...(survey && spanOfUnmeasured(survey)),
    today: on,
  })
}

export type CannotSayReason = 'no-reading' | 'no-body' | 'no-users' | 'no-late-rain'

/** What is missing before the reserve or a release can be said. */
export function missingFor({ storage, users, lateRainOn }: WaterState): CannotSayReason[] {
  return [
    ...(storage.cannotSay ?? []),
    ...(users ? [] : ['no-users' as const]),
    ...(lateRainOn ? [] : ['no-late-rain' as const]),
  ]
}

/** Of what is missing, that which keeps the reserve from being said. */
export function missingForReserve(state: WaterState): CannotSayReason[] {
  return missingFor(state).filter((reason) => reason === 'no-users' || reason === 'no-late-rain')
}
