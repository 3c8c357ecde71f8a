import type { WeatherReading } from '../../water/weather/store.ts'
import type { UsualFigure } from '../../web/forms/usual.ts'

export type ReadingField = Exclude<keyof WeatherReading, 'onDate' | 'psychrometer'>

/** What can be weather on this earth, as the equations take it. */
export const READING_LIMITS: Readonly<Record<ReadingField, { min: number; max: number }>> = {
  tmaxC: { min: -60, max: 60 },
  tminC: { min: -60, max: 60 },
  rainMm: { min: 0, max: 2000 },
  rhMaxPct: { min: 0, max: 100 },
  rhMinPct: { min: 0, max: 100 },
  windMPerS: { min: 0, max: 60 },
  windHeightM: { min: 0.5, max: 100 },
  dryBulbC: { min: -60, max: 60 },
  wetBulbC: { min: -60, max: 60 },
  dewPointC: { min: -60, max: 40 },
  vapourPressureKpa: { min: 0, max: 10 },
  sunHours: { min: 0, max: 24 },
  radiationMjM2: { min: 0, max: 50 },
}

/** What is asked about where it is rare; the other readings are held against each other and against the sun. */
export const READING_USUAL: Readonly<Partial<Record<ReadingField, UsualFigure>>> = {
  tmaxC: 'heat of a day, °C',
  tminC: 'cold of a night, °C',
  rainMm: 'rain of a day, mm',
  windHeightM: 'height of a wind meter, m',
  dryBulbC: 'wet or dry bulb, °C',
  wetBulbC: 'wet or dry bulb, °C',
}

/** The field beside which a domain refusal of a day's weather is shown. */
export const FIELD_OF_REFUSAL: Readonly<Record<string, ReadingField>> = {
  'tmin-above-tmax': 'tminC',
  'rhmin-above-rhmax': 'rhMinPct',
  'sun-hours-above-daylight': 'sunHours',
  'radiation-above-the-sun': 'radiationMjM2',
  'dew-point-above-heat': 'dewPointC',
  'vapour-above-saturation': 'vapourPressureKpa',
  'wet-above-dry': 'wetBulbC',
  'bulbs-too-far-apart': 'wetBulbC',
  'bulb-alone': 'wetBulbC',
}

/** A mean of a whole day above this is a gale (Beaufort 6 begins at 10.8 m/s) or was read in km/h. */
const GALE_M_PER_S = 11

export function isGale({ windMPerS }: Pick<WeatherReading, 'windMPerS'>): boolean {
  return windMPerS !== null && windMPerS >= GALE_M_PER_S
}

/** Odd but possible readings: taken into the book, and asked about on the page. Common practice, no source. */
export function oddReadings(reading: WeatherReading): string[] {
  const { tmaxC, tminC, rainMm, dewPointC } = reading
  const odd: string[] = []
  if (isGale(reading)) odd.push('wind-gale')
  if (dewPointC !== null && tminC !== null && dewPointC > tminC + 3) odd.push('dew-above-night')
  if (rainMm !== null && rainMm >= 50) odd.push('rain-heavy')
  if (tmaxC !== null && tmaxC >= 45) odd.push('day-hot')
  if (tminC !== null && tminC <= 0) odd.push('night-cold')
  if (tmaxC !== null && tminC !== null) {
    if (tmaxC - tminC >= 25) odd.push('gap-wide')
    if (tmaxC - tminC < 2) odd.push('gap-narrow')
  }
  return odd
}
