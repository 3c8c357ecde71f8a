import { InputError } from '../input-error.ts'
import type { M3 } from '../units.ts'

/** Water level above the group's datum from a reading: centimetres from the fixed mark down to the water. */
export function waterLevelFromReadingM({
  markLevelM,
  depthToWaterCm,
}: {
  markLevelM: number
  depthToWaterCm: number
}): number {
  if (!Number.isFinite(depthToWaterCm)) throw new InputError('depth-to-water-not-a-number', { depthToWaterCm })
  if (!Number.isFinite(markLevelM)) throw new InputError('mark-level-not-a-number', { markLevelM })
  return markLevelM - depthToWaterCm / 100
}

/** Stick or weighted tape in a pipe, at dawn, pump long off (common practice, no source: 1 to 2 cm). */
const CAREFUL_READING_ERROR_CM = 2

const HOURS_TO_SETTLE = 8
const DAYS_UNTIL_OLD = 10

export type ReadingDoubtReason =
  | 'read-while-pumping'
  | 'read-soon-after-pumping'
  | 'pump-off-unknown'
  | 'read-in-the-day'
  | 'reading-old'

interface ReadingDoubt {
  levelErrorCm: number
  /** What the circumstances add to the error of a careful reading. */
  extraLevelErrorCm: number
  reasons: ReadingDoubtReason[]
}

/** Hours for which the pump has stood still; a pump switched off as the level is read has stood for none. */
export type HoursSincePumping = number | 'running' | null

/**
 * How far a level reading may be off, either way. Figures: common practice, no source: 2 cm careful; 5 cm or worse when
 * pumping draws the water down; and about a centimetre for every day beyond the tenth, the usual fall in use.
 * `hoursSincePumping` is null when nobody wrote it.
 */
export function readingDoubt({
  readHour,
  hoursSincePumping,
  ageDays,
}: {
  readHour: number
  hoursSincePumping: HoursSincePumping
  ageDays: number
}): ReadingDoubt {
  if (!(readHour >= 0 && readHour < 24)) throw new InputError('hour-not-in-day', { readHour })
  if (typeof hoursSincePumping === 'number' && !(hoursSincePumping >= 0))
    throw new InputError('hours-below-zero', { hoursSincePumping })
  const reasons: ReadingDoubtReason[] = []
  let extraLevelErrorCm = 0
  const doubt = (reason: ReadingDoubtReason, errorCm: number) => {
    reasons.push(reason)
    extraLevelErrorCm += errorCm
  }
  if (hoursSincePumping === null) doubt('pump-off-unknown', 3)
  else if (hoursSincePumping === 'running') doubt('read-while-pumping', 8)
  else if (hoursSincePumping < HOURS_TO_SETTLE) doubt('read-soon-after-pumping', 3)
  // By day people draw by hand and trees drink; at dawn the water stands still.
  if (readHour < 4 || readHour >= 9) doubt('read-in-the-day', 1)
  if (ageDays > DAYS_UNTIL_OLD) doubt('reading-old', ageDays - DAYS_UNTIL_OLD)
  return { levelErrorCm: CAREFUL_READING_ERROR_CM + extraLevelErrorCm, extraLevelErrorCm, reasons }
}

/** A level is read by the week, as the plan goes by it; common practice, no source. */
const READ_EVERY_DAYS = 7

/** Whether a level, `ageDays` after its reading, no longer carries next week's plan; null stands for one that was never read. */
export function isOldLevel(ageDays: number | null): boolean {
  return ageDays === null || ageDays > READ_EVERY_DAYS
}

/** A part that a week's use, the sand's loss and two sticks do not explain together (own choice, no source). */
const MUCH_PART = 0.25

/** Whether one level says much more or less water than the one before it, m3 that can be booked by either: by more than a quarter of the larger. */
export function movesMuch({ wasM3, isM3 }: { wasM3: M3; isM3: M3 }): boolean {
  return Math.abs(isM3 - wasM3) > MUCH_PART * Math.max(wasM3, isM3)
}
