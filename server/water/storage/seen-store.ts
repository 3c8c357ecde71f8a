import { addDays, type CalendarDate, datesFromTo, daysBetween } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { type BookLevel, type DoubtedLevel, doubtedLevels } from '../../../domain/water/doubted-levels.ts'
import { readingDoubt } from '../../../domain/water/level.ts'
import type { RestStretch } from '../../../domain/water/loss/rests.ts'
import type { SeenStretch } from '../../../domain/water/path/loss-rise.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import { drainableStorageM3 } from '../../../domain/water/sand/storage.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { levelReadingOf, type Reading } from '../level/store.ts'
import { type LevelWriters, levelWriters } from '../level/writers-store.ts'
import type { WeirSurvey } from '../sand/description.ts'
import type { Weir } from '../weir/store.ts'
import { agreedUnlogged, type UntypedTurn, untypedTurns, wordsOfTurns } from './untyped-store.ts'

/** A leak stays what it is from one dry season to the next, so that the rests of a year speak. */
export const DAYS_OF_RESTS = 365

interface DrawnDay {
  weirId: Id<'weir'>
  onDate: string
  use: string
  volumeM3: M3
}

/** What the log says was drawn, from a day on up to another, both included. */
export async function drawnBetween(db: Database, fromOn: CalendarDate, toOn: CalendarDate): Promise<DrawnDay[]> {
  return db
    .selectFrom('abstraction')
    .select(['weirId', 'onDate', 'use', 'volumeM3'])
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
    .where(standing('abstraction'))
    .execute()
}

/** What was drawn of one weir on one day, m3. */
interface WeirDay {
  weirId: Id<'weir'>
  onDate: CalendarDate
  cropsM3: M3
  /** By people for themselves and their animals, without a pump. */
  handM3: M3
  /** By a pump or for crops. */
  pumpedM3: M3
}

/** Logged draws and rain, beside which the readings are laid. */
export interface SeenBook {
  /** Logged, and agreed for days that are over without a word since. */
  drawn: WeirDay[]
  /** Turns behind the latter. */
  untyped: UntypedTurn[]
  /** Days with more rain than the group's mark. */
  wetDays: CalendarDate[]
  /** By whom a doubted reading can be borne out. */
  writers: LevelWriters
}

/** The book of the last year. */
export async function seenBook(
  db: Database,
  { on, rainMarkMm }: { on: CalendarDate; rainMarkMm: number },
): Promise<SeenBook> {
  const fromOn = addDays(on, -DAYS_OF_RESTS)
  const wet = await wetDays(db, { on, rainMarkMm }).execute()
  const untyped = await untypedTurns(db, { fromOn, beforeOn: on })
  return {
    drawn: [...(await drawnByDay(db, fromOn, on)), ...untyped.map(agreedDay)],
    untyped,
    wetDays: wet.map((day) => day.onDate),
    writers: await levelWriters(db, on),
  }
}

/** What the book of the last year is read from. */
export function seenQuestions(db: Database, seen: { on: CalendarDate; rainMarkMm: number }) {
  const fromOn = addDays(seen.on, -DAYS_OF_RESTS)
  return [
    wetDays(db, seen),
    agreedUnlogged(db, { fromOn, beforeOn: seen.on }),
    wordsOfTurns(db),
    drawnSums(db, fromOn, seen.on),
  ] as const
}

function wetDays(db: Database, { on, rainMarkMm }: { on: CalendarDate; rainMarkMm: number }) {
  return db
    .selectFrom('weatherDay')
    .select('onDate')
    .where('onDate', '>=', addDays(on, -DAYS_OF_RESTS))
    .where('onDate', '<=', on)
    .where('rainMm', '>', rainMarkMm)
    .where(standing('weatherDay'))
}

function drawnSums(db: Database, fromOn: string, toOn: string) {
  return db
    .selectFrom('abstraction')
    .select(['weirId', 'onDate', 'use', 'pumpId'])
    .select((eb) => eb.fn.sum<number>('volumeM3').as('volumeM3'))
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
    .where(standing('abstraction'))
    .groupBy(['weirId', 'onDate', 'use', 'pumpId'])
}

async function drawnByDay(db: Database, fromOn: string, toOn: string): Promise<WeirDay[]> {
  const sums = await drawnSums(db, fromOn, toOn).execute()
  return sums.map(({ weirId, onDate, use, pumpId, volumeM3 }) => {
    const isByHand = pumpId === null && use !== 'irrigation'
    // What people drink is taken from their count, since few write every jerrycan.
    const cropsM3 = use === 'drinking' || use === 'stock' ? 0 : volumeM3
    return { weirId, onDate, cropsM3, handM3: isByHand ? volumeM3 : 0, pumpedM3: isByHand ? 0 : volumeM3 }
  })
}

function agreedDay({ weirId, plotId, onDate, volumeM3 }: UntypedTurn): WeirDay {
  return { weirId, onDate, cropsM3: plotId === null ? 0 : volumeM3, handM3: 0, pumpedM3: volumeM3 }
}

interface OfWeir {
  body: SandBody
  /** Of one weir, oldest first. */
  readings: readonly Reading[]
  dailyDrinkingM3: M3
  book: SeenBook
}

/** What both looks at the book need: how the loss rose, and where the sand rested. */
export interface BookStretch extends SeenStretch, RestStretch {}

/** One weir of the last year between readings at which the water stood still: wet by flow, rain or a full weir, else dry. */
export function seenStretches({ body, readings, dailyDrinkingM3, book }: OfWeir, on: CalendarDate): BookStretch[] {
  const firstOn = addDays(on, -DAYS_OF_RESTS)
  const settled = readings.filter((reading, at) => {
    const isFirst = reading.readOn !== readings[at - 1]?.readOn
    return isFirst && reading.waterLevelM !== null && reading.readOn >= firstOn && isCalm(reading)
  })
  return settled.slice(1).map((closing, at) => {
    const opening = settled[at]!
    const [fromOn, toOn] = [opening.readOn, closing.readOn]
    const isWithin = (day: CalendarDate) => fromOn <= day && day < toOn
    const days = daysBetween(fromOn, toOn)
    const [before, after] = [opening, closing].map(({ waterLevelM }) =>
      drainableStorageM3({ body, waterLevelM: waterLevelM! }),
    ) as [Stored, Stored]
    const flowSeen = readings.some((one) => one.flowSeen && fromOn <= one.readOn && one.readOn <= toOn)
    const isWet = flowSeen || book.wetDays.some(isWithin)
    const drawn = book.drawn.filter((day) => day.weirId === closing.weirId && isWithin(day.onDate))
    return {
      kind: before.aboveCrest || after.aboveCrest ? 'not-reckoned' : isWet ? 'wet' : 'dry',
      fromOn,
      toOn,
      days,
      openingM3: before.likelyM3,
      closingM3: after.likelyM3,
      openingLevelM: opening.waterLevelM!,
      closingLevelM: closing.waterLevelM!,
      drawnM3: sum(drawn, (day) => day.cropsM3) + dailyDrinkingM3 * days,
      pumpedM3: sum(drawn, (day) => day.pumpedM3),
      handDrawnM3: sum(drawn, (day) => day.handM3),
    }
  })
}

type Stored = ReturnType<typeof drainableStorageM3>

/** The pump stood still long enough before a reading for the water to lie level. */
function isCalm(reading: Reading): boolean {
  const { readAt, hoursSincePumping } = reading
  const readHour = Number(readAt.slice(0, 2)) + Number(readAt.slice(3, 5)) / 60
  const { reasons } = readingDoubt({ readHour, hoursSincePumping, ageDays: 0 })
  return !reasons.includes('read-while-pumping') && !reasons.includes('read-soon-after-pumping')
}

/** A reading that waits to be borne out, with what it was held against. */
export interface DoubtedReading extends DoubtedLevel {
  reading: Reading
}

interface HeldAgainst {
  weir: Weir
  survey: WeirSurvey
  body: SandBody
  /** Oldest first. */
  readings: readonly Reading[]
  drunkM3: M3
  book: SeenBook
}

/** The readings of one weir within the last year that do not rule, oldest first. */
export function doubtedReadings({ weir, survey, body, readings, drunkM3, book }: HeldAgainst): DoubtedReading[] {
  const last = readings.at(-1)
  if (!last) return []
  const firstOn = addDays(last.readOn, -DAYS_OF_RESTS)
  const levels = readings.filter(({ readOn }) => readOn >= firstOn).flatMap((one) => bookLevel(one, book.writers))
  const drawnByDay = new Map<string, number>()
  for (const { weirId, onDate, cropsM3 } of book.drawn)
    if (weirId === weir.id) drawnByDay.set(onDate, (drawnByDay.get(onDate) ?? 0) + cropsM3)
  const doubted = doubtedLevels({
    body,
    levels,
    lossCmPerDay: survey.lossCmPerDay,
    takenM3: (fromOn: CalendarDate, beforeOn: CalendarDate) =>
      sum(datesFromTo(fromOn, addDays(beforeOn, -1)), (day) => drunkM3 + (drawnByDay.get(day) ?? 0)),
    wetDays: book.wetDays,
  })
  return doubted.map((one) => ({ ...one, reading: readings.find(({ id }) => id === one.id)! }))
}

/** A reading from before the sand was described has no level to hold against others. */
function bookLevel(reading: Reading, { newUntil, areSeveral }: LevelWriters): BookLevel[] {
  const { id, readOn, waterLevelM, depthCm, hoursSincePumping, flowSeen } = reading
  if (waterLevelM === null) return []
  const { readHour, ...line } = levelReadingOf(reading)
  const { levelErrorCm } = readingDoubt({ ...line, readHour, ageDays: 0 })
  const markLevelM = waterLevelM + depthCm / 100
  const level = { id, readOn, readHour, waterLevelM, markLevelM, levelErrorCm, hoursSincePumping, flowSeen }
  // While the book is new, and where nobody else could write one, the same person reads again.
  return [{ ...level, writerId: areSeveral && reading.writtenAt > newUntil ? reading.writerId : undefined }]
}
