import { InputError } from '../../input-error.ts'
import { saturationVapourPressureKpa } from './air.ts'
import type { Psychrometer } from './humidity.ts'

/** What a group can measure of a day's weather; only the two temperatures are needed. */
export interface DayWeather {
  tmaxC: number
  tminC: number
  vapourPressureKpa?: number
  dewPointC?: number
  /** A dry and a wet bulb read together at any hour of the day, by a psychrometer of this kind; hung outside where not told. */
  dryBulbC?: number
  wetBulbC?: number
  psychrometer?: Psychrometer
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
const LIMITS: [Exclude<keyof DayWeather, 'psychrometer'>, number, number][] = [
  ['tmaxC', -60, 60],
  ['tminC', -60, 60],
  ['vapourPressureKpa', 0, 10],
  ['dewPointC', -60, 40],
  ['dryBulbC', -60, 60],
  ['wetBulbC', -60, 60],
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
 * `tmin-above-tmax`, `rhmin-above-rhmax`, `dew-point-above-heat`, `vapour-above-saturation`, `bulb-alone`.
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
  checkMoisture(day)
}

/** Air never holds more water than it could at the day's highest temperature, and one bulb alone says nothing. */
function checkMoisture({ tmaxC, dewPointC, vapourPressureKpa, dryBulbC, wetBulbC }: DayWeather): void {
  if (dewPointC !== undefined && dewPointC > tmaxC) throw new InputError('dew-point-above-heat', { dewPointC, tmaxC })
  const mostKpa = saturationVapourPressureKpa(tmaxC)
  if (vapourPressureKpa !== undefined && vapourPressureKpa > mostKpa) {
    throw new InputError('vapour-above-saturation', { vapourPressureKpa, mostKpa })
  }
  if ((dryBulbC === undefined) !== (wetBulbC === undefined)) throw new InputError('bulb-alone', {})
}
