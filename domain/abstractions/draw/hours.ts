import { InputError } from '../../input-error.ts'

interface ReadHours {
  hours: number
  readAs: 'hours-and-minutes' | 'decimal-hours'
  /** When decimals could have been meant as minutes (1.30 is 1 h 18 min, but may mean 1 h 30 min), what those would give. */
  otherwiseHours: number | null
}

const HOURS_AND_MINUTES = /^(\d{1,4})\s*(?::|h)\s*(\d{1,2})(?:\s*(?:min|m))?$/i
const DECIMAL_HOURS = /^(\d{1,4})(?:[.,](\d{1,4}))?(?:\s*h)?$/i

/** Reads a length of time: 1:30 and 1 h 30 are hours and minutes, 1.5 and 1,5 are hours and tenths. */
export function parseHours(text: string): ReadHours {
  const typed = text.trim()
  const clock = HOURS_AND_MINUTES.exec(typed)
  if (clock) return hoursAndMinutes(typed, Number(clock[1]), Number(clock[2]))
  const decimal = DECIMAL_HOURS.exec(typed)
  if (!decimal) throw new InputError('hours-not-understood', { text: typed })
  const [, whole = '', part = ''] = decimal
  const mayBeMinutes = part.length === 2 && Number(part) < 60 && Number(part) > 0
  return {
    hours: Number(`${whole}.${part || '0'}`),
    readAs: 'decimal-hours',
    otherwiseHours: mayBeMinutes ? Number(whole) + Number(part) / 60 : null,
  }
}

function hoursAndMinutes(text: string, hours: number, minutes: number): ReadHours {
  if (minutes >= 60) throw new InputError('minutes-over-59', { text, minutes })
  return { hours: hours + minutes / 60, readAs: 'hours-and-minutes', otherwiseHours: null }
}
