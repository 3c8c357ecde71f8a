import { InputError } from '../../../domain/input-error.ts'
import type { Values } from '../../web/figures/locale.ts'
import { checkedDayDemand } from './day-demand.ts'
import { FIELD_OF_REFUSAL, READING_LIMITS, type ReadingField } from './reading-limits.ts'
import type { WeatherReading } from './store.ts'

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
