import { addDays, type CalendarDate, daysBetween } from '../calendar.ts'
import type { Id } from '../id.ts'
import type { M3 } from '../units.ts'
import type { HoursSincePumping } from './level.ts'
import type { SandBody } from './sand/body.ts'
import { levelAfterTakingM } from './sand/level-today.ts'
import { drainableStorageM3, likelyStorageM3 } from './sand/storage.ts'

/** A line of the level book as it is held against those before it. */
export interface BookLevel {
  id: string
  readOn: CalendarDate
  /** Hour of the day, 0 up to 24. */
  readHour: number
  waterLevelM: number
  /** Of the mark on that day: a mark that was set anew begins a book of its own. */
  markLevelM: number
  /** Either way, by the circumstances; see `readingDoubt`. */
  levelErrorCm: number
  hoursSincePumping: HoursSincePumping
  flowSeen: boolean
  /** Whoever wrote it; left out where the same person may bear it out. */
  writerId?: Id<'person'> | undefined
}

interface LevelBook {
  body: SandBody
  /** Of one weir, oldest first. */
  levels: readonly BookLevel[]
  /** The sand's own fall as the group knows it; null while nobody has measured it. */
  lossCmPerDay: number | null
  /** All that left the sand from the first day on and before the last, m3: logged, agreed and drunk. */
  takenM3: (fromOn: CalendarDate, beforeOn: CalendarDate) => M3
  /** Days with more rain than the group's mark. */
  wetDays: readonly CalendarDate[]
}

export interface DoubtedLevel {
  id: string
  cause: 'fell-too-fast' | 'pump-drew-it-down' | 'rose-without-flow'
  /** The reading before it that still rules, and the level that it leaves on the day of the doubted one, m. */
  againstId: string
  expectedLevelM: number
  /** How far the doubted one lies below that, or has risen above the ruling reading, cm. */
  apartCm: number
}

/** The largest loss that anybody would believe: thrice the usual one, at least so much (own choice, no source). */
const LARGEST_LOSS_TIMES = 3
const LARGEST_LOSS_CM_PER_DAY = 3
/** While nobody has measured it (own choice, no source). */
const USUAL_LOSS_CM_PER_DAY = 1
/** Banks give back and sticks err by less (own choice, no source). */
const RISE_TO_DOUBT_CM = 10
/** What taking levels in metres from each other leaves of rounding. */
const HAIR_CM = 1e-6
/** After so long without a reading nothing can be held against the last one (own choice, no source). */
const DAYS_COMPARED = 30
const HOURS_TO_SETTLE = 8
const END_OF_DAWN_HOUR = 9

/**
 * Readings that another has to bear out before they rule: a fall faster than what was drawn and the largest loss explain;
 * with the pump running or just off, a fall beyond the usual loss; a rise with neither rain nor flow. The next reading
 * that agrees with a doubted one bears it out, where it was written by somebody else (the group's own rule). Levels in m above the group's datum. Source: continuity through the
 * level-volume curve.
 */
export function doubtedLevels(book: LevelBook): DoubtedLevel[] {
  const doubted = new Map<string, DoubtedLevel>()
  let ruling: BookLevel | null = null
  let waiting: BookLevel | null = null
  for (const level of book.levels) {
    const doubt = ruling && doubtOf(book, ruling, level)
    if (!doubt) [ruling, waiting] = [level, null]
    else if (waiting && bearsOut(book, waiting, level)) {
      doubted.delete(waiting.id)
      ;[ruling, waiting] = [level, null]
    } else {
      doubted.set(level.id, doubt)
      waiting = level
    }
  }
  return [...doubted.values()]
}

function doubtOf(book: LevelBook, ruling: BookLevel, level: BookLevel): DoubtedLevel | null {
  if (!isComparable(ruling, level)) return null
  const errorCm = ruling.levelErrorCm + level.levelErrorCm
  const found = { id: level.id, againstId: ruling.id }
  const expectedLevelM = fallsTooFast(book, { ruling, level, errorCm }) ? levelLeftM(book, ruling, level) : null
  if (expectedLevelM !== null) {
    const cause = isCalm(level) ? 'fell-too-fast' : 'pump-drew-it-down'
    return { ...found, cause, expectedLevelM, apartCm: 100 * (expectedLevelM - level.waterLevelM) }
  }
  const riseCm = 100 * (level.waterLevelM - ruling.waterLevelM)
  const isFed = [ruling, level].some(({ flowSeen }) => flowSeen) || book.wetDays.some(isBetween(ruling, level))
  if (!roseFar(ruling, level) || isFed || !isCalm(ruling)) return null
  return { ...found, cause: 'rose-without-flow', expectedLevelM: levelLeftM(book, ruling, level), apartCm: riseCm }
}

/** More water is gone than was taken, even where the sand holds the least that such sand can and loses the most. */
function fallsTooFast(
  book: LevelBook,
  { ruling, level, errorCm }: { ruling: BookLevel; level: BookLevel; errorCm: number },
): boolean {
  const { body, takenM3 } = book
  const days = daysBetween(ruling.readOn, level.readOn)
  const highestM = level.waterLevelM + (errorCm + days * lossCmPerDay(book, level)) / 100
  if (highestM >= Math.min(ruling.waterLevelM, body.crestLevelM)) return false
  const before = drainableStorageM3({ body, waterLevelM: ruling.waterLevelM })
  const goneM3 = before.likelyM3 - likelyStorageM3(body, highestM)
  const timesLikely = before.lowM3 > 0 ? before.likelyM3 / before.lowM3 : 1
  return goneM3 > takenM3(ruling.readOn, takenBeforeOn(level)) * timesLikely
}

/** A settled reading of somebody else that neither fell further than the sand can nor rose again. */
function bearsOut(book: LevelBook, waiting: BookLevel, level: BookLevel): boolean {
  const isOthers = waiting.writerId === undefined || waiting.writerId !== level.writerId
  return isOthers && isCalm(level) && !roseFar(waiting, level) && doubtOf(book, waiting, level) === null
}

/** Sticks are read to the millimetre: a rise of just so many is none that is doubted, at whatever level it stands. */
function roseFar(before: BookLevel, level: BookLevel): boolean {
  const riseCm = 100 * (level.waterLevelM - before.waterLevelM)
  return riseCm > RISE_TO_DOUBT_CM + before.levelErrorCm + level.levelErrorCm + HAIR_CM
}

function isComparable(ruling: BookLevel, level: BookLevel): boolean {
  const isSameMark = Math.abs(ruling.markLevelM - level.markLevelM) < 1e-6
  return isSameMark && daysBetween(ruling.readOn, level.readOn) <= DAYS_COMPARED
}

/** The level that what is known leaves on the day of a later reading. */
function levelLeftM(book: LevelBook, ruling: BookLevel, level: BookLevel): number {
  const { body, takenM3 } = book
  const taken = takenM3(ruling.readOn, takenBeforeOn(level))
  const leftM = levelAfterTakingM({ body, waterLevelM: ruling.waterLevelM, takenM3: taken })
  const lostCm = (book.lossCmPerDay ?? USUAL_LOSS_CM_PER_DAY) * daysBetween(ruling.readOn, level.readOn)
  return Math.max(body.bedLevelM, leftM - lostCm / 100)
}

/** A drawn-down pipe hides no loss, so that beside a pump the usual one is all that is allowed for. */
function lossCmPerDay({ lossCmPerDay }: LevelBook, level: BookLevel): number {
  const usualCm = lossCmPerDay ?? USUAL_LOSS_CM_PER_DAY
  return isCalm(level) ? Math.max(LARGEST_LOSS_CM_PER_DAY, LARGEST_LOSS_TIMES * usualCm) : usualCm
}

/** A dawn reading stands before the draws of its own day. */
function takenBeforeOn({ readOn, readHour }: BookLevel): CalendarDate {
  return readHour < END_OF_DAWN_HOUR ? readOn : addDays(readOn, 1)
}

function isBetween(ruling: BookLevel, level: BookLevel) {
  return (day: CalendarDate) => ruling.readOn <= day && day <= level.readOn
}

function isCalm({ hoursSincePumping: hours }: BookLevel): boolean {
  return hours !== 'running' && (hours === null || hours >= HOURS_TO_SETTLE)
}
