import type { BookedDay } from '../../../domain/crops/demand/expected-demand.ts'
import type { DayWeather } from '../../../domain/crops/weather/day-weather.ts'
import type { ComparedDay } from '../../../domain/crops/weather/local-factor.ts'
import {
  type ReferenceEvapotranspiration,
  referenceEvapotranspirationMm,
} from '../../../domain/crops/weather/reference-evapotranspiration.ts'
import { InputError } from '../../../domain/input-error.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { Values } from '../../web/figures/locale.ts'
import type { CropSettings } from '../setting/store.ts'
import { FIELD_OF_REFUSAL, GALE_M_PER_S, READING_LIMITS, type ReadingField } from './reading-limits.ts'
import type { WeatherReading } from './store.ts'

/** Where the weather was read, with what the group settled for reckoning its demand. */
export interface Place extends Pick<Group, 'latitudeDeg' | 'elevationM'> {
  /** Degrees by which the dew point is taken to lie below the lowest temperature where no humidity was read. */
  aridityC?: number | undefined
  /** Of the demand by temperatures alone. */
  hargreavesFactor?: number | undefined
}

/** The group's place with its demand rule. */
export function placeOf(group: Pick<Group, 'latitudeDeg' | 'elevationM'>, rule: CropSettings['demandRule']): Place {
  const { latitudeDeg, elevationM } = group
  return {
    latitudeDeg,
    elevationM,
    aridityC: rule?.dryAirC,
    hargreavesFactor: rule?.hargreavesFactor ?? undefined,
  }
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

/** The day by both equations; null where wind or humidity was not read, or an equation cannot be used. */
export function comparedDay(place: Place, reading: WeatherReading): ComparedDay | null {
  const better = dayDemand(place, reading)
  const { onDate, tmaxC, tminC } = reading
  if (better?.method !== 'penman-monteith' || better.estimated.some((input) => input !== 'radiation')) return null
  const hargreaves = referenceEvapotranspirationMm({ ...place, date: onDate, day: { tmaxC: tmaxC!, tminC: tminC! } })
  return { date: onDate, hargreavesMm: hargreaves.etoMm, betterMm: better.etoMm }
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
  place: Place
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
export function dayTrouble({ reading, place, today, replaces, reason }: DayToCheck): DayTrouble | null {
  const trouble = (field: string, key: string, values: Values = {}) => ({ field, key, values })
  if (reading.onDate > today) return trouble('onDate', 'crops.wrong.day-to-come')
  const fields = Object.keys(READING_LIMITS) as ReadingField[]
  if (fields.every((field) => reading[field] === null)) return trouble('tmaxC', 'crops.wrong.nothing-read')
  const { tmaxC, tminC, windMPerS } = reading
  if (tmaxC !== null && tmaxC === tminC) return trouble('tminC', 'crops.wrong.cold-equals-heat')
  if (windMPerS !== null && windMPerS >= GALE_M_PER_S && reason === null) {
    return trouble('wind', 'crops.wrong.wind-gale', { wind: windMPerS })
  }
  try {
    checkedDayDemand(place, reading)
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return trouble(FIELD_OF_REFUSAL[error.code] ?? 'tmaxC', `crops.wrong.${error.code}`, error.values)
  }
  if (replaces && reason === null) return trouble('reason', 'crops.wrong.day-stands')
  return null
}
