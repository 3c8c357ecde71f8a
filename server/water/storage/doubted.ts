import { addDays, type CalendarDate, datesFromTo } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { type BookLevel, type DoubtedLevel, doubtedLevels } from '../../../domain/water/doubted-levels.ts'
import { readingDoubt } from '../../../domain/water/level.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import { levelReadingOf, type Reading } from '../level/store.ts'
import type { WeirSurvey } from '../sand/description.ts'
import type { Weir } from '../weir/store.ts'
import { DAYS_OF_RESTS, type SeenBook } from './seen-store.ts'

/** A reading that waits to be borne out, with what it was held against. */
export interface DoubtedReading extends DoubtedLevel {
  reading: Reading
}

interface OfWeir {
  weir: Weir
  survey: WeirSurvey
  body: SandBody
  /** Oldest first. */
  readings: readonly Reading[]
  drunkM3: M3
  book: SeenBook
}

/** The readings of one weir within the last year that do not rule, oldest first. */
export function doubtedReadings({ weir, survey, body, readings, drunkM3, book }: OfWeir): DoubtedReading[] {
  const last = readings.at(-1)
  if (!last) return []
  const firstOn = addDays(last.readOn, -DAYS_OF_RESTS)
  const levels = readings.filter(({ readOn }) => readOn >= firstOn).flatMap(bookLevel)
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
function bookLevel(reading: Reading): BookLevel[] {
  const { id, readOn, waterLevelM, depthCm, hoursSincePumping, flowSeen } = reading
  if (waterLevelM === null) return []
  const { readHour, ...line } = levelReadingOf(reading)
  const { levelErrorCm } = readingDoubt({ ...line, readHour, ageDays: 0 })
  const markLevelM = waterLevelM + depthCm / 100
  return [{ id, readOn, readHour, waterLevelM, markLevelM, levelErrorCm, hoursSincePumping, flowSeen }]
}
