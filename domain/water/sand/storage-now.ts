import { type CalendarDate, daysBetween } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { type HoursSincePumping, type ReadingDoubtReason, readingDoubt, waterLevelFromReadingM } from '../level.ts'
import type { EvidenceGrade, SandBody } from './body.ts'
import { type AvailableStorage, availableStorageM3, drainableStorageM3, type VolumeRangeM3 } from './storage.ts'

/** What the level book holds for one weir and morning. */
export interface LevelReading {
  readOn: CalendarDate
  /** Hour of the day, 0 up to 24; half past six is 6.5. */
  readHour: number
  depthToWaterCm: number
  /** Null when nobody wrote it. */
  hoursSincePumping: HoursSincePumping
}

export interface KnownStorage {
  cannotSay: null
  waterLevelM: number
  levelErrorCm: number
  /** By that error, or by a doubted reading, m. */
  lowestLevelM: number
  /** Above the bedrock. */
  drainable: VolumeRangeM3
  /** Above the off-take. */
  available: VolumeRangeM3
  /** Below the off-take. */
  handDrawn: VolumeRangeM3
  grade: EvidenceGrade
  readOn: CalendarDate
  ageDays: number
  aboveCrest: boolean
  reasons: (ReadingDoubtReason | 'above-crest')[]
}

export type StorageNow = KnownStorage | { cannotSay: ('no-reading' | 'no-body')[] }

interface StorageNowInput {
  body: SandBody | null
  offTakeLevelM: number
  markLevelM: number
  reading: LevelReading | null
  /** Of a later reading that waits to be borne out: the range holds it too, the likely figure does not follow it. */
  doubtedLevelM?: number | null
  /** Where nobody measured them: the mouth may lie as low as this, and the mark so much higher, m. */
  lowestOffTakeM?: number
  markHigherM?: number
  today: CalendarDate
}

/**
 * Water in one weir by its latest reading, through the level-volume curve. Low is the low curve at the lowest level the
 * reading allows, high the high curve at the highest, so that both doubts are in the range. With no reading or no body
 * it says which is missing instead.
 */
export function storageNow({
  body,
  offTakeLevelM,
  markLevelM,
  reading,
  doubtedLevelM,
  lowestOffTakeM = offTakeLevelM,
  markHigherM = 0,
  today,
}: StorageNowInput): StorageNow {
  if (!body || !reading)
    return { cannotSay: [...(body ? [] : ['no-body' as const]), ...(reading ? [] : ['no-reading' as const])] }
  const ageDays = daysBetween(reading.readOn, today)
  if (ageDays < 0) throw new InputError('reading-after-today', { readOn: reading.readOn, today })
  const waterLevelM = waterLevelFromReadingM({ markLevelM, depthToWaterCm: reading.depthToWaterCm })
  const { levelErrorCm, reasons } = readingDoubt({ ...reading, ageDays })
  const doubtedM = doubtedLevelM ?? waterLevelM
  const lowestM = Math.min(waterLevelM, doubtedM) - levelErrorCm / 100
  const highestM = Math.max(waterLevelM, doubtedM) + levelErrorCm / 100 + markHigherM
  const at = (levelM: number, mouthM: number) =>
    availableStorageM3({ body, waterLevelM: levelM, offTakeLevelM: mouthM })
  const [lower, middle, upper] = [
    at(lowestM, offTakeLevelM),
    at(waterLevelM, offTakeLevelM),
    at(highestM, offTakeLevelM),
  ]
  // Under a lower mouth less is left for drawing by hand, and more can be pumped.
  const [underLowest, overLowest] = [at(lowestM, lowestOffTakeM), at(highestM, lowestOffTakeM)]
  return {
    cannotSay: null,
    waterLevelM,
    levelErrorCm,
    lowestLevelM: lowestM,
    drainable: {
      lowM3: drainableStorageM3({ body, waterLevelM: lowestM }).lowM3,
      likelyM3: drainableStorageM3({ body, waterLevelM }).likelyM3,
      highM3: drainableStorageM3({ body, waterLevelM: highestM }).highM3,
    },
    available: spread('available', lower, middle, overLowest),
    handDrawn: spread('handDrawn', underLowest, middle, upper),
    grade: body.grade,
    readOn: reading.readOn,
    ageDays,
    aboveCrest: middle.aboveCrest,
    reasons: middle.aboveCrest ? [...reasons, 'above-crest'] : reasons,
  }
}

function spread(
  part: 'available' | 'handDrawn',
  lower: AvailableStorage,
  middle: AvailableStorage,
  upper: AvailableStorage,
): VolumeRangeM3 {
  return { lowM3: lower[part].lowM3, likelyM3: middle[part].likelyM3, highM3: upper[part].highM3 }
}
