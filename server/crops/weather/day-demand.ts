import type { BookedDay } from '../../../domain/crops/demand/expected-demand.ts'
import type { DayWeather } from '../../../domain/crops/weather/day-weather.ts'
import {
  type ReferenceEvapotranspiration,
  referenceEvapotranspirationMm,
} from '../../../domain/crops/weather/reference-evapotranspiration.ts'
import { InputError } from '../../../domain/input-error.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { Values } from '../../web/figures/locale.ts'
import { FIELD_OF_REFUSAL, READING_LIMITS, type ReadingField } from './reading-limits.ts'
import type { WeatherReading } from './store.ts'

export type Place = Pick<Group, 'latitudeDeg' | 'elevationM'>

/** The day as the equations take it; null without both temperatures, on which all of them rest. */
function dayWeather(day: WeatherReading): DayWeather | null {
  const { tmaxC, tminC, onDate: _, ...rest } = day
  if (tmaxC === null || tminC === null) return null
  const fields = ['rhMaxPct', 'rhMinPct', 'windMPerS', 'windHeightM', 'sunHours', 'radiationMjM2'] as const
  const read = fields.flatMap((field) => (rest[field] === null ? [] : [[field, rest[field]] as const]))
  return { tmaxC, tminC, ...Object.fromEntries(read) }
}

/** Reference evapotranspiration of a day at the group's place; throws InputError for impossible weather. */
export function checkedDayDemand(place: Place, reading: WeatherReading): ReferenceEvapotranspiration | null {
  const day = dayWeather(reading)
  return day && referenceEvapotranspirationMm({ ...place, date: reading.onDate, day })
}

/**
 * The same for a day that already stands in the book: null where a place set later makes it impossible,
 * since a page must open whatever was once written.
 */
export function dayDemand(place: Place, reading: WeatherReading): ReferenceEvapotranspiration | null {
  try {
    return checkedDayDemand(place, reading)
  } catch (error) {
    if (error instanceof InputError) return null
    throw error
  }
}

export function bookedDay(place: Place, reading: WeatherReading): BookedDay {
  const demand = dayDemand(place, reading)
  return {
    date: reading.onDate,
    etoMm: demand?.etoMm ?? null,
    etoErrorFraction: demand?.errorFraction ?? 0,
    rainMm: reading.rainMm,
  }
}

interface DayToCheck {
  reading: WeatherReading
  group: { latitudeDeg: number; elevationM: number }
  today: string
  replaces: boolean
  reason: string | null
}

interface DayTrouble {
  field: string
  key: string
  values: Values
}

/** What must be mended in a day of weather, from the screen or from a sheet of paper; null when nothing is in the way. */
export function dayTrouble({ reading, group, today, replaces, reason }: DayToCheck): DayTrouble | null {
  const trouble = (field: string, key: string, values: Values = {}) => ({ field, key, values })
  if (reading.onDate > today) return trouble('onDate', 'crops.wrong.day-to-come')
  const fields = Object.keys(READING_LIMITS) as ReadingField[]
  if (fields.every((field) => reading[field] === null)) return trouble('tmaxC', 'crops.wrong.nothing-read')
  try {
    checkedDayDemand(group, reading)
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return trouble(FIELD_OF_REFUSAL[error.code] ?? 'tmaxC', `crops.wrong.${error.code}`, error.values)
  }
  if (replaces && reason === null) return trouble('reason', 'crops.wrong.day-stands')
  return null
}
