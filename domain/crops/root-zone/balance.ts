import { addDays, type CalendarDate, daysBetween } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { type CoefficientCurve, coefficientAt, type LocalConditions, localCurve } from '../crop/coefficient.ts'
import { checkStageDays, type Season, type Stage, type StageOnDay, stageOnDay } from '../crop/stages.ts'
import { checkAvailableWater } from './available-water.ts'
import { balanceRootZone, type RootZoneOutput, rootZoneOutput } from './balance-arrays.ts'
import { rootDepthOn } from './root-depth.ts'

/** What the balance needs to know of a crop. */
export interface RootedCrop extends CoefficientCurve {
  rootDepthMinM: number
  depletionFraction: number
  perennial?: boolean
}

export interface RootZoneWeather {
  date: CalendarDate
  etoMm: number
  rainMm: number
  /** Depth of irrigation that reached the root zone, the losses of the method already taken off. */
  irrigationMm: number
}

export interface RootZoneDay {
  date: CalendarDate
  stage: Stage
  kc: number
  rootDepthM: number
  totalAvailableMm: number
  readilyAvailableMm: number
  stress: number
  evapotranspirationMm: number
  creditedRainMm: number
  irrigationMm: number
  percolationMm: number
  /** At the end of the day. */
  depletionMm: number
}

export interface RootZoneBalanceInput extends Omit<Season, 'stageDays'>, LocalConditions {
  crop: RootedCrop
  /** Water that a metre of the soil holds for roots. */
  availableMmPerM: number
  days: readonly RootZoneWeather[]
  /** Depletion at the start of the first day that the crop stands: 0 after a full pre-watering. */
  startDepletionMm: number
}

/**
 * The root zone day by day while the crop stands; days before sowing and after harvest are left out. The lesser printed root
 * depth counts, as FAO-56 advises for watering; soil that the roots newly reach is taken as moist.
 * Throws InputError for a gap in the days, a negative depth of water, or a start outside 0 to what the roots can draw.
 * Source and order of the day: see `balanceRootZone`.
 */
export function rootZoneBalance(input: RootZoneBalanceInput): RootZoneDay[] {
  checkAvailableWater(input.availableMmPerM)
  checkDays(input.days)
  const standing = standingDays(input)
  const depths = deepest(standing.map(({ place }) => depthOn(input.crop, place)))
  const totals = depths.map((depthM) => depthM * input.availableMmPerM)
  checkStart(input.startDepletionMm, totals[0])
  const out = rootZoneOutput(standing.length)
  balanceRootZone(
    {
      etoMm: column(standing, (day) => day.weather.etoMm),
      kc: column(standing, (day) => day.kc),
      totalMm: Float64Array.from(totals),
      rainMm: column(standing, (day) => day.weather.rainMm),
      irrigationMm: column(standing, (day) => day.weather.irrigationMm),
      tableFraction: input.crop.depletionFraction,
      startDepletionMm: input.startDepletionMm,
    },
    out,
  )
  return standing.map((day, index) => dayOf(day, depths[index]!, totals[index]!, out, index))
}

interface StandingDay {
  weather: RootZoneWeather
  place: StageOnDay
  kc: number
}

/** Days are counted on from the first, since reading every date of many plots takes longer than the balance itself. */
function standingDays(input: RootZoneBalanceInput): StandingDay[] {
  const { crop, days, harvestedOn } = input
  checkStageDays(crop.stageDays)
  if (days.length === 0) return []
  const season = { stageDays: crop.stageDays, repeats: input.repeats }
  const curve = localCurve(crop, input)
  const first = daysBetween(input.plantedOn, days[0]!.date) + 1
  return days.flatMap((weather, index) => {
    const place = harvestedOn && weather.date > harvestedOn ? null : stageOnDay(season, first + index)
    return place ? [{ weather, place, kc: coefficientAt(curve, place) }] : []
  })
}

function depthOn(crop: RootedCrop, place: StageOnDay): number {
  return rootDepthOn({ place, fullM: crop.rootDepthMinM, grown: crop.perennial })
}

/** Roots do not draw back when a crop that repeats begins its stages again. */
function deepest(depthsM: readonly number[]): number[] {
  let soFar = 0
  return depthsM.map((depthM) => {
    soFar = Math.max(soFar, depthM)
    return soFar
  })
}

function column(standing: readonly StandingDay[], pick: (day: StandingDay) => number): Float64Array {
  const values = new Float64Array(standing.length)
  for (let day = 0; day < values.length; day++) values[day] = pick(standing[day]!)
  return values
}

/** Written out field by field: spreading costs more than the whole balance when many plots run. */
function dayOf(day: StandingDay, rootDepthM: number, totalMm: number, out: RootZoneOutput, index: number): RootZoneDay {
  return {
    date: day.weather.date,
    stage: day.place.stage,
    kc: day.kc,
    rootDepthM,
    totalAvailableMm: totalMm,
    readilyAvailableMm: out.readilyMm[index]!,
    stress: out.stress[index]!,
    evapotranspirationMm: out.evapotranspirationMm[index]!,
    creditedRainMm: out.creditedRainMm[index]!,
    irrigationMm: day.weather.irrigationMm,
    percolationMm: out.percolationMm[index]!,
    depletionMm: out.depletionMm[index]!,
  }
}

function checkDays(days: readonly RootZoneWeather[]): void {
  if (!followOn(days)) throw new InputError('weather-day-missing', { date: firstGap(days) })
  for (const day of days) {
    checkDepth('etoMm', day.etoMm, day.date)
    checkDepth('rainMm', day.rainMm, day.date)
    checkDepth('irrigationMm', day.irrigationMm, day.date)
  }
}

/** Rising dates that span as many days as there are leave no gap; this reads two dates instead of all. */
function followOn(days: readonly RootZoneWeather[]): boolean {
  if (days.length === 0) return true
  const rising = days.every((day, index) => index === 0 || day.date > days[index - 1]!.date)
  return rising && daysBetween(days[0]!.date, days.at(-1)!.date) === days.length - 1
}

function firstGap(days: readonly RootZoneWeather[]): CalendarDate {
  const index = days.findIndex((day, place) => daysBetween(days[0]!.date, day.date) !== place)
  return addDays(days[0]!.date, index)
}

function checkDepth(field: string, value: number, date: CalendarDate): void {
  if (!(value >= 0)) throw new InputError('depth-below-zero', { field, date, value })
}

function checkStart(startDepletionMm: number, totalMm: number | undefined): void {
  if (totalMm === undefined || (startDepletionMm >= 0 && startDepletionMm <= totalMm)) return
  throw new InputError('start-depletion-outside', { startDepletionMm, totalMm })
}
