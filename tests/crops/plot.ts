import { addDays, type CalendarDate } from '../../domain/calendar.ts'
import type { StageDays } from '../../domain/crops/crop/stages.ts'
import { cropByKey } from '../../domain/crops/data/crops.ts'
import type { BookedDay } from '../../domain/crops/demand/expected-demand.ts'
import type { CropPlan } from '../../domain/crops/plan.ts'

/** The textures of FAO-56, Table 19. */
export const SOIL_KEYS = [
  'sand',
  'loamy_sand',
  'sandy_loam',
  'loam',
  'silt_loam',
  'silt',
  'silty_clay_loam',
  'silty_clay',
  'clay',
]

/** A published crop with its printed stages, ready to be planted in a test. */
export function plantable(key: string) {
  const crop = cropByKey(key)!
  return { ...crop, stageDays: crop.stageDays as StageDays }
}

export function plan(input: Partial<CropPlan> = {}): CropPlan {
  return { crop: plantable('tomato'), plantedOn: '2026-01-01', areaM2: 500, ...input }
}

/** Days before a date with one and the same weather. */
export function daysBefore(date: CalendarDate, count: number, weather: Partial<BookedDay> = {}): BookedDay[] {
  return Array.from({ length: count }, (_, index) => ({
    ...{ date: addDays(date, index - count), etoMm: 5, etoErrorFraction: 0.2, rainMm: 0 },
    ...weather,
  }))
}
