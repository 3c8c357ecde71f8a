import type { BookedDay } from '../../../domain/crops/demand/expected-demand.ts'
import { InputError } from '../../../domain/input-error.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { ComparedDay } from '../../../domain/water/weather/local-factor.ts'
import { referenceEvapotranspirationMm } from '../../../domain/water/weather/reference-evapotranspiration.ts'
import { checkedDayDemand, dayDemand, type Place } from '../../water/weather/state.ts'
import type { WeatherReading } from '../../water/weather/store.ts'
import type { Values } from '../../web/figures/locale.ts'
import type { CropSettings } from '../setting/store.ts'
import { FIELD_OF_REFUSAL, isGale, READING_LIMITS, type ReadingField } from './reading-limits.ts'

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
  /** Whether it says otherwise than what stands, and whoever writes it may not. */
  isOfficers?: boolean
  reason: string | null
}

interface DayTrouble {
  field: string
  key: string
  values: Values
}

/** What must be mended in a day of weather, from the screen or from a sheet of paper; null when nothing is in the way. */
export function dayTrouble({ reading, place, today, replaces, isOfficers, reason }: DayToCheck): DayTrouble | null {
  const trouble = (field: string, key: string, values: Values = {}) => ({ field, key, values })
  if (reading.onDate > today) return trouble('onDate', 'crops.wrong.day-to-come')
  if (isOfficers) return trouble('onDate', 'crops.wrong.day-officers')
  const fields = Object.keys(READING_LIMITS) as ReadingField[]
  if (fields.every((field) => reading[field] === null)) return trouble('tmaxC', 'crops.wrong.nothing-read')
  const { tmaxC, tminC, windMPerS } = reading
  if (tmaxC !== null && tmaxC === tminC) return trouble('tminC', 'crops.wrong.cold-equals-heat')
  if (isGale(reading) && reason === null) return trouble('wind', 'crops.wrong.wind-gale', { wind: windMPerS! })
  try {
    checkedDayDemand(place, reading)
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return trouble(FIELD_OF_REFUSAL[error.code] ?? 'tmaxC', `crops.wrong.${error.code}`, error.values)
  }
  if (replaces && reason === null) return trouble('reason', 'crops.wrong.day-stands')
  return null
}
