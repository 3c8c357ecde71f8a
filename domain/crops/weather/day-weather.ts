import { InputError } from '../../input-error.ts'

/** What a group can measure of a day's weather; only the two temperatures are needed. */
export interface DayWeather {
  tmaxC: number
  tminC: number
  vapourPressureKpa?: number
  dewPointC?: number
  rhMaxPct?: number
  rhMinPct?: number
  rhMeanPct?: number
  windMPerS?: number
  /** Height of the wind meter above ground; 2 m where not told. */
  windHeightM?: number
  sunHours?: number
  radiationMjM2?: number
}

/** What no weather on this earth goes beyond, in the unit of each name. Common practice, no source. */
const LIMITS: [keyof DayWeather, number, number][] = [
  ['tmaxC', -60, 60],
  ['tminC', -60, 60],
  ['vapourPressureKpa', 0, 10],
  ['dewPointC', -60, 40],
  ['rhMaxPct', 0, 100],
  ['rhMinPct', 0, 100],
  ['rhMeanPct', 0, 100],
  ['windMPerS', 0, 60],
  ['windHeightM', 0.1, 100],
  ['sunHours', 0, 24],
  ['radiationMjM2', 0, 50],
]

/**
 * Throws InputError where a figure cannot be weather on this earth: `weather-outside` with the field's name,
 * `tmin-above-tmax`, `rhmin-above-rhmax`.
 */
export function checkDayWeather(day: DayWeather): void {
  for (const [field, low, high] of LIMITS) {
    const value = day[field]
    if (value === undefined && field !== 'tmaxC' && field !== 'tminC') continue
    if (!(value! >= low && value! <= high)) {
      throw new InputError('weather-outside', { field, value: value ?? 'missing', low, high })
    }
  }
  if (day.tminC > day.tmaxC) throw new InputError('tmin-above-tmax', { tminC: day.tminC, tmaxC: day.tmaxC })
  if (day.rhMinPct !== undefined && day.rhMaxPct !== undefined && day.rhMinPct > day.rhMaxPct) {
    throw new InputError('rhmin-above-rhmax', { rhMinPct: day.rhMinPct, rhMaxPct: day.rhMaxPct })
  }
}
