import { InputError } from '../../../domain/input-error.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { DayWeather } from '../../../domain/water/weather/day-weather.ts'
import {
  type ReferenceEvapotranspiration,
  referenceEvapotranspirationMm,
} from '../../../domain/water/weather/reference-evapotranspiration.ts'
import type { WeatherReading } from './store.ts'

/** Where the weather was read, with what the group settled for reckoning its demand. */
export interface Place extends Pick<Group, 'latitudeDeg' | 'elevationM'> {
  /** Degrees by which the dew point is taken to lie below the lowest temperature where no humidity was read. */
  aridityC?: number | undefined
  /** Of the demand by temperatures alone. */
  hargreavesFactor?: number | undefined
}

/** The day as the equations take it; null without both temperatures, on which all of them rest. */
function dayWeather(day: WeatherReading): DayWeather | null {
  const { tmaxC, tminC, onDate: _, ...rest } = day
  if (tmaxC === null || tminC === null) return null
  const { rainMm: _rain, ...air } = rest
  const read = Object.entries(air).filter(([, value]) => value !== null && value !== undefined)
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
