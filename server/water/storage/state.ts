import { type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import { dailyLossM3 } from '../../../domain/water/loss/loss.ts'
import {
  availableAfterTakingM3,
  dailyDrinkingM3,
  type ReleasableThisWeek,
  releasableThisWeekM3,
  reserveM3,
} from '../../../domain/water/reserve.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import { type StorageNow, storageNow } from '../../../domain/water/sand/storage-now.ts'
import type { Database } from '../../database/connection.ts'
import { latestReadings, levelReadingOf, type Reading } from '../level/store.ts'
import { bodyOf, levelsOf, type WeirSurvey } from '../sand/description.ts'
import { surveysOn } from '../sand/description-store.ts'
import { type WaterUserSet, waterSettingOn, waterUsersOn } from '../users/store.ts'
import { listWeirs, type Weir } from '../weir/store.ts'

/** All that is known of one weir's water on a day. */
export interface WaterState {
  weir: Weir
  on: CalendarDate
  survey: WeirSurvey | null
  body: SandBody | null
  reading: Reading | null
  /** Age of the reading; null without one. */
  ageDays: number | null
  storage: StorageNow
  users: WaterUserSet | null
  /** Null while nobody has counted who drinks there. */
  dailyDrinkingM3: number | null
  /** Through the level-volume curve at the present level; 0 while the loss or the level is not known. */
  dailyLossM3: number
  isLossKnown: boolean
  lateRainOn: CalendarDate | null
  /** Water to keep from this day to the late date of rain; null while a part of it is not known. */
  reserveM3: number | null
}

type OfGroup = { seasonEndOn: CalendarDate }

/** The weirs from the head of the stream to its tail. */
export async function waterStates(db: Database, { on }: { group?: unknown; on: CalendarDate }): Promise<WaterState[]> {
  const surveys = await surveysOn(db, on)
  const readings = await latestReadings(db, on)
  const users = await waterUsersOn(db, on)
  const lateRainOn = (await waterSettingOn(db, on))?.lateRainOn ?? null
  return (await listWeirs(db)).map((weir) =>
    stateOf({
      weir,
      on,
      survey: surveys.get(weir.id) ?? null,
      reading: readings.get(weir.id) ?? null,
      users: users.get(weir.id) ?? null,
      lateRainOn,
    }),
  )
}

function stateOf(known: Pick<WaterState, 'weir' | 'on' | 'survey' | 'reading' | 'users' | 'lateRainOn'>): WaterState {
  const { on, survey, reading, users, lateRainOn } = known
  const body = survey && bodyOf(survey)
  const storage = storageOf({ survey, body, reading, on })
  const drunkM3 = users && dailyDrinkingM3({ users: users.users })
  const lossCmPerDay = survey?.lossCmPerDay ?? null
  const isLossKnown = body !== null && storage.cannotSay === null && lossCmPerDay !== null
  const lostM3 = isLossKnown
    ? dailyLossM3({ body, waterLevelM: storage.waterLevelM, loss: { fallCmPerDay: lossCmPerDay } })
    : 0
  return {
    ...known,
    body,
    ageDays: reading && daysBetween(reading.readOn, on),
    storage,
    dailyDrinkingM3: drunkM3,
    dailyLossM3: lostM3,
    isLossKnown,
    reserveM3:
      drunkM3 === null || lateRainOn === null
        ? null
        : reserveM3({ dailyDrinkingM3: drunkM3, dailyLossM3: lostM3, fromDate: on, lateRainOn }),
  }
}

interface Stored {
  survey: WeirSurvey | null
  body: SandBody | null
  reading: Reading | null
  on: CalendarDate
}

/** The mark is that of the day of reading, the sand that of today: a wall raised since then holds the same water. */
function storageOf({ survey, body, reading, on }: Stored): StorageNow {
  const levels = survey ? levelsOf(survey) : { offTakeLevelM: 0, markLevelM: 0 }
  const markLevelM = reading?.waterLevelM == null ? levels.markLevelM : reading.waterLevelM + reading.depthCm / 100
  return storageNow({
    body,
    offTakeLevelM: levels.offTakeLevelM,
    markLevelM,
    reading: reading && levelReadingOf(reading),
    today: on,
  })
}

export type CannotSayReason = 'no-reading' | 'no-body' | 'no-users' | 'no-late-rain'

interface ReleasableState {
  weir: Weir
  state: WaterState
  /** The volume with its terms; null when it cannot be said, and then the reasons are there. */
  releasable: ReleasableThisWeek | null
  cannotSay: CannotSayReason[]
}

/**
 * What may be drawn from each weir in a week, drinking included. `takenM3ByWeir` is what leaves the sand between the
 * reading and the week.
 */
export function releasableStates(
  states: readonly WaterState[],
  {
    weekStartOn,
    group,
    takenM3ByWeir,
  }: { weekStartOn: CalendarDate; group: OfGroup; takenM3ByWeir: ReadonlyMap<string, number> },
): ReleasableState[] {
  return states.map((state) => {
    const { weir, storage, dailyDrinkingM3: drunkM3, lateRainOn, dailyLossM3: lostM3 } = state
    const cannotSay = missingFor(state)
    if (storage.cannotSay || drunkM3 === null || lateRainOn === null)
      return { weir, state, releasable: null, cannotSay }
    const { available, grade } = storage
    const takenM3 = takenM3ByWeir.get(weir.id) ?? 0
    const releasable = releasableThisWeekM3({
      available: availableAfterTakingM3({ available, takenM3 }),
      grade,
      weekStartOn,
      seasonEndOn: group.seasonEndOn,
      lateRainOn,
      dailyDrinkingM3: drunkM3,
      dailyLossM3: lostM3,
    })
    return { weir, state, releasable, cannotSay }
  })
}

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
