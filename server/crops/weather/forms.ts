import { PSYCHROMETERS } from '../../../domain/water/weather/humidity.ts'
import type { WeatherReading } from '../../water/weather/store.ts'
import { DATE_ORDERS } from '../../web/figures/csv.ts'
import {
  checks,
  date,
  file,
  lines,
  number,
  optional,
  seldom,
  select,
  text,
  tick,
  whole,
} from '../../web/forms/fields.ts'
import { defineForm, readForm } from '../../web/forms/forms.ts'
import { READING_LIMITS, READING_USUAL, type ReadingField } from './reading-limits.ts'

/** The units in which wind is read off a meter. */
const WIND_UNITS = ['m-per-s', 'km-per-h'] as const
export type WindUnit = (typeof WIND_UNITS)[number]

/** Wind in m/s, to a hundredth; m/s where no unit was chosen. */
export function windInMPerS(wind: number, unit: WindUnit | null): number {
  return unit === 'km-per-h' ? Math.round((100 * wind) / 3.6) / 100 : wind
}

const reading = (field: ReadingField) => optional(number(READING_LIMITS[field], READING_USUAL[field]))
const seldomRead = (field: ReadingField) => seldom(number(READING_LIMITS[field], READING_USUAL[field]))

export const WeatherForm = defineForm('crops.weather', {
  onDate: date(),
  tmaxC: reading('tmaxC'),
  tminC: reading('tminC'),
  rainMm: reading('rainMm'),
  rhMaxPct: seldomRead('rhMaxPct'),
  rhMinPct: seldomRead('rhMinPct'),
  dryBulbC: seldomRead('dryBulbC'),
  wetBulbC: seldomRead('wetBulbC'),
  psychrometer: seldom(select(PSYCHROMETERS)),
  dewPointC: seldomRead('dewPointC'),
  vapourPressureKpa: seldomRead('vapourPressureKpa'),
  wind: seldom(number({ min: 0, max: 216 })),
  windUnit: seldom(select(WIND_UNITS)),
  windHeightM: seldomRead('windHeightM'),
  sunHours: reading('sunHours'),
  radiationMjM2: seldomRead('radiationMjM2'),
  reason: optional(text({ max: 200 })),
})

const column = () => optional(text({ max: 60 }))

/** What was read on a day, as it was typed. */
export function readingOf({ wind, windUnit, reason: _, ...rest }: WeatherData): WeatherReading {
  return { ...rest, windMPerS: wind === null ? null : windInMPerS(wind, windUnit) }
}

type WeatherData = NonNullable<ReturnType<typeof readWeather>['data']>

const readWeather = (body: unknown) => readForm(WeatherForm, body)

/** The fields that name a column are called by the reading that stands in it. */
export const UploadForm = defineForm('crops.upload', {
  list: optional(file()),
  pasted: optional(lines()),
  dateOrder: select(DATE_ORDERS),
  onDate: text({ max: 60 }),
  tmaxC: column(),
  tminC: column(),
  rainMm: column(),
  rhMaxPct: seldom(column()),
  rhMinPct: seldom(column()),
  dryBulbC: seldom(column()),
  wetBulbC: seldom(column()),
  psychrometer: seldom(select(PSYCHROMETERS)),
  dewPointC: seldom(column()),
  vapourPressureKpa: seldom(column()),
  windMPerS: seldom(column()),
  windUnit: seldom(select(WIND_UNITS)),
  windHeight: seldom(number(READING_LIMITS.windHeightM, READING_USUAL.windHeightM)),
  galesTrue: tick(),
  rareTrue: tick(),
  sunHours: seldom(column()),
  radiationMjM2: seldom(column()),
})

/** Headings that the book offers for an own list. */
export const USUAL_COLUMNS = { onDate: 'date', tmaxC: 'max', tminC: 'min', rainMm: 'rain' }

export const GaugeForm = defineForm('weather.gauge', {
  number: whole({ min: 1, max: 999 }),
  name: text(),
})

export const GaugeRainForm = defineForm('weather.gauge-rain', {
  onDate: date(),
  rainMm: number(READING_LIMITS.rainMm, READING_USUAL.rainMm),
  reason: optional(text({ max: 200 })),
})

/** `book` leads the plots back to the rain of the weather book. */
export const PlotGaugeForm = defineForm('weather.plot-gauge', {
  gaugeId: select(),
  plotIds: checks(undefined, { atLeast: 1 }),
  fromOn: date(),
})
