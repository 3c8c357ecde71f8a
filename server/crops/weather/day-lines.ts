import type { ReferenceEvapotranspiration } from '../../../domain/water/weather/reference-evapotranspiration.ts'
import type { Place } from '../../water/weather/state.ts'
import type { WeatherDay, WeatherReading } from '../../water/weather/store.ts'
import type { Format } from '../../web/figures/format.ts'
import type { Translate } from '../../web/figures/locale.ts'
import { READING_LIMITS, type ReadingField } from './reading-limits.ts'

interface DayToShow {
  day: WeatherDay
  demand: ReferenceEvapotranspiration | null
  place: Place
  t: Translate
  f: Format
}

interface DayLine {
  label: string
  value: string
  /** Measured, estimated and from what, or not read. */
  how: string
}

/** Which inputs of a day were measured and which were estimated, the group's place too. */
export function dayLines({ day, demand, place, t, f }: DayToShow): DayLine[] {
  const readings = (Object.keys(READING_LIMITS) as ReadingField[])
    .filter((field) => day[field] !== null)
    .map((field) => ({ label: t(`crops.weather.${field}`), value: f.two(day[field]!), how: t('crops.day.measured') }))
  const estimated = (demand?.estimated ?? []).map((input) => ({
    label: t(`crops.day.input.${input}`),
    value: t('crops.day.estimated'),
    how:
      input === 'humidity' && demand!.method === 'penman-monteith' && place.aridityC
        ? t('crops.day.dry-air', { degrees: place.aridityC })
        : t(`crops.day.${demand!.method}.${input}`),
  }))
  const factor = demand?.method === 'hargreaves' ? place.hargreavesFactor : undefined
  const where = [
    { label: t('people.group.latitude'), value: f.two(place.latitudeDeg), how: t('crops.day.of-group') },
    { label: t('people.group.elevation'), value: f.whole(place.elevationM), how: t('crops.day.of-group') },
  ]
  const own = factor ? [{ label: t('crops.day.factor'), value: f.two(factor), how: t('crops.day.factor-how') }] : []
  return [...readings, ...estimated, ...own, ...where]
}

/** The three figures that nearly every day has, in one phrase. */
export function figuresInWords(day: WeatherReading, t: Translate, f: Format): string {
  const figure = (value: number | null) => (value === null ? t('crops.not-read') : f.one(value))
  return t('crops.day.figures', { max: figure(day.tmaxC), min: figure(day.tminC), rain: figure(day.rainMm) })
}

/** The humidity of a day as it was read; null where it was not. */
export function humidityInWords(day: WeatherReading, t: Translate, f: Format): string | null {
  const { rhMinPct, rhMaxPct, dryBulbC, wetBulbC, dewPointC, vapourPressureKpa } = day
  const figure = (value: number | null) => (value === null ? '–' : f.one(value))
  if (rhMinPct !== null || rhMaxPct !== null)
    return t('crops.humidity-range', { low: figure(rhMinPct), high: figure(rhMaxPct) })
  if (dryBulbC !== null && wetBulbC !== null)
    return t('crops.humidity-bulbs', { dry: f.one(dryBulbC), wet: f.one(wetBulbC) })
  if (dewPointC !== null) return t('crops.humidity-dew', { dew: f.one(dewPointC) })
  return vapourPressureKpa === null ? null : t('crops.humidity-vapour', { vapour: f.two(vapourPressureKpa) })
}
