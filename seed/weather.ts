import { addDays, type CalendarDate, daysBetween } from '../domain/calendar.ts'
import { toTenth } from '../domain/units.ts'
import type { Chance } from './chance.ts'

export interface SeedDay {
  onDate: string
  tmaxC: number
  tminC: number
  rainMm: number
  /** How the sky looked to the attendant. */
  sky: 'clear' | 'half' | 'dull'
}

/** The one spell of rain inside the dry season, and a few drops before it. */
const STORMS: Record<number, number> = { 61: 8, 62: 17, 63: 4, 20: 2, 94: 3 }

/** A dry season day by day: hot, with cool nights, a few dull days, one storm spell. */
export function seedWeather(chance: Chance, fromOn: CalendarDate, toOn: CalendarDate): SeedDay[] {
  return Array.from({ length: daysBetween(fromOn, toOn) + 1 }, (_, day) => {
    const rainMm = STORMS[day] ?? 0
    const warmth = 33 + 2.5 * Math.sin(day / 23)
    const sky = rainMm > 4 || chance.happens(0.06) ? 'dull' : chance.happens(0.18) ? 'half' : 'clear'
    const cooled = sky === 'dull' ? 4 : 0
    return {
      onDate: addDays(fromOn, day),
      tmaxC: toTenth(warmth - cooled + chance.between(-1.2, 1.2)),
      tminC: toTenth(warmth - 14 + cooled / 2 + chance.between(-1, 1)),
      rainMm,
      sky,
    }
  })
}
