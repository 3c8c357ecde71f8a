import type { CalendarDate } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import {
  meanSaturationVapourPressureKpa,
  psychrometricConstantKpaPerC,
  vapourPressureSlopeKpaPerC,
  windAt2M,
} from './air.ts'
import { checkDayWeather, type DayWeather } from './day-weather.ts'
import { estimatedVapourPressureKpa, measuredVapourPressureKpa, vapourPressureOfBulbsKpa } from './humidity.ts'
import {
  clearSkyRadiationMjM2,
  MM_PER_MJ_M2,
  netLongwaveMjM2,
  netRadiationMjM2,
  solarRadiationFromSunshineMjM2,
  solarRadiationFromTemperatureMjM2,
} from './radiation.ts'
import { daylightHours, extraterrestrialRadiationMjM2 } from './sun.ts'

export interface ReferenceEvapotranspiration {
  etoMm: number
  method: 'penman-monteith' | 'hargreaves'
  /** Names of the inputs that nobody measured. */
  estimated: ('humidity' | 'wind' | 'radiation')[]
  /** Likely error as a part of the value. */
  errorFraction: number
}

interface ReferenceEvapotranspirationInput {
  latitudeDeg: number
  elevationM: number
  date: CalendarDate
  day: DayWeather
  coastal?: boolean
  /** Ratio of a better local record to the temperature-only method. */
  hargreavesFactor?: number
  /** Degrees taken off the lowest temperature to guess the dew point in a dry climate. */
  aridityC?: number
}

/** World-wide mean wind at 2 m, for a place without a wind record, m/s. Source: FAO-56 (1998), p. 63. */
const USUAL_WIND_M_PER_S = 2

/**
 * Likely errors as parts of the value: common practice, no source. A measured day is within 7 %; each guessed
 * input adds its own, as the root of squares. Temperatures alone give 20 %, or 15 % where checked against a record.
 */
const ERRORS = { measured: 0.07, humidity: 0.08, wind: 0.1, radiation: 0.1, hargreaves: 0.2, hargreavesChecked: 0.15 }

/**
 * Reference evapotranspiration of one day, mm. With temperatures only: Hargreaves-Samani (FAO-56, equation 52);
 * with anything more: Penman-Monteith (equation 6), the missing inputs estimated as FAO-56 chapter 3 says.
 * Throws InputError for impossible weather, and `sun-does-not-rise` where the day has no sun to reckon with.
 */
export function referenceEvapotranspirationMm(given: ReferenceEvapotranspirationInput): ReferenceEvapotranspiration {
  checkDayWeather(given.day)
  const input = { ...given, day: withBulbs(given) }
  const extraterrestrialMjM2 = extraterrestrialRadiationMjM2(input)
  if (extraterrestrialMjM2 < 0.01) {
    throw new InputError('sun-does-not-rise', { latitudeDeg: input.latitudeDeg, date: input.date })
  }
  const known = measuredInputs(input.day)
  if (!known.humidity && !known.wind && !known.radiation) return fromTemperatures(input, extraterrestrialMjM2)
  return fromPenmanMonteith(input, extraterrestrialMjM2)
}

/** The day with the vapour pressure that its two bulbs tell, where neither it nor the dew point was given. */
function withBulbs({ day, elevationM }: ReferenceEvapotranspirationInput): DayWeather {
  const { dryBulbC, wetBulbC, psychrometer = 'hung' } = day
  if (dryBulbC === undefined || wetBulbC === undefined) return day
  const vapourPressureKpa = vapourPressureOfBulbsKpa({ dryBulbC, wetBulbC, psychrometer, elevationM })
  return day.vapourPressureKpa !== undefined || day.dewPointC !== undefined ? day : { ...day, vapourPressureKpa }
}

function measuredInputs(day: DayWeather) {
  return {
    humidity: measuredVapourPressureKpa(day) !== null,
    wind: day.windMPerS !== undefined,
    radiation: day.sunHours !== undefined || day.radiationMjM2 !== undefined,
  }
}

function fromTemperatures(
  { day, hargreavesFactor }: ReferenceEvapotranspirationInput,
  extraterrestrialMjM2: number,
): ReferenceEvapotranspiration {
  return {
    etoMm: hargreavesSamaniMm({ ...day, extraterrestrialMjM2, localFactor: hargreavesFactor }),
    method: 'hargreaves',
    estimated: ['humidity', 'wind', 'radiation'],
    errorFraction: hargreavesFactor === undefined ? ERRORS.hargreaves : ERRORS.hargreavesChecked,
  }
}

function fromPenmanMonteith(
  input: ReferenceEvapotranspirationInput,
  extraterrestrialMjM2: number,
): ReferenceEvapotranspiration {
  const { day, elevationM } = input
  const vapourPressureKpa = measuredVapourPressureKpa(day) ?? estimatedVapourPressureKpa({ ...day, ...input })
  const clearSkyMjM2 = clearSkyRadiationMjM2({ extraterrestrialMjM2, elevationM })
  const solarMjM2 = solarRadiation(input, extraterrestrialMjM2, clearSkyMjM2)
  const longwave = netLongwaveMjM2({ ...day, vapourPressureKpa, solarMjM2, clearSkyMjM2 })
  const known = measuredInputs(day)
  const estimated = (['humidity', 'wind', 'radiation'] as const).filter((name) => !known[name])
  return {
    etoMm: penmanMonteithMm({
      elevationM,
      tmaxC: day.tmaxC,
      tminC: day.tminC,
      vapourPressureKpa,
      windAt2MPerS: windAtCropHeight(day),
      netRadiationMjM2: netRadiationMjM2({ solarMjM2, netLongwaveMjM2: longwave }),
    }),
    method: 'penman-monteith',
    estimated,
    errorFraction: Math.hypot(ERRORS.measured, ...estimated.map((name) => ERRORS[name])),
  }
}

function windAtCropHeight(day: DayWeather): number {
  if (day.windMPerS === undefined) return USUAL_WIND_M_PER_S
  return windAt2M({ windMPerS: day.windMPerS, heightM: day.windHeightM ?? 2 })!
}

function solarRadiation(
  { day, latitudeDeg, date, coastal }: ReferenceEvapotranspirationInput,
  extraterrestrialMjM2: number,
  clearSkyMjM2: number,
): number {
  if (day.radiationMjM2 !== undefined) {
    if (day.radiationMjM2 > extraterrestrialMjM2) {
      throw new InputError('radiation-above-the-sun', { radiationMjM2: day.radiationMjM2, extraterrestrialMjM2 })
    }
    return day.radiationMjM2
  }
  if (day.sunHours === undefined) {
    return solarRadiationFromTemperatureMjM2({ ...day, extraterrestrialMjM2, clearSkyMjM2, coastal })
  }
  const longest = daylightHours({ latitudeDeg, date })
  // A recorder's own error may carry it slightly past the day; an hour more is a slip of the pen.
  if (day.sunHours > longest + 1) throw new InputError('sun-hours-above-daylight', { sunHours: day.sunHours, longest })
  return solarRadiationFromSunshineMjM2({ extraterrestrialMjM2, sunHours: day.sunHours, daylightHours: longest })
}

/**
 * Reference evapotranspiration from temperatures alone, mm a day. It misses wind and damp air, so a place
 * compares it with a better record and multiplies by a local factor. Source: FAO-56 (1998), equation 52.
 */
function hargreavesSamaniMm(input: {
  tmaxC: number
  tminC: number
  extraterrestrialMjM2: number
  localFactor?: number
}): number {
  const meanC = (input.tmaxC + input.tminC) / 2
  const evaporating = MM_PER_MJ_M2 * input.extraterrestrialMjM2
  const estimate = 0.0023 * (meanC + 17.8) * Math.sqrt(input.tmaxC - input.tminC) * evaporating
  return Math.max(0, estimate * (input.localFactor ?? 1))
}

/** Calm air still carries vapour away in gusts; FAO-56 (1998), p. 63, advises not to go below this. */
const LOWEST_WIND_M_PER_S = 0.5

/**
 * Reference evapotranspiration of short grass, mm a day from the weather of a day, over which the soil's heat evens out (equation 42).
 * A negative result, which is dew, counts as zero. Source: FAO-56, equation 6 (temperature + 273 as printed there).
 */
function penmanMonteithMm(input: {
  elevationM: number
  tmaxC: number
  tminC: number
  vapourPressureKpa: number
  windAt2MPerS: number
  netRadiationMjM2: number
}): number {
  const meanC = (input.tmaxC + input.tminC) / 2
  const slope = vapourPressureSlopeKpaPerC(meanC)
  const gamma = psychrometricConstantKpaPerC(input.elevationM)
  const wind = Math.max(LOWEST_WIND_M_PER_S, input.windAt2MPerS)
  const deficitKpa = Math.max(0, meanSaturationVapourPressureKpa(input) - input.vapourPressureKpa)
  const radiation = MM_PER_MJ_M2 * slope * input.netRadiationMjM2
  const air = gamma * (900 / (meanC + 273)) * wind * deficitKpa
  return Math.max(0, (radiation + air) / (slope + gamma * (1 + 0.34 * wind)))
}
