import { addDays, type CalendarDate, daysBetween } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import {
  type CoefficientCurve,
  coefficientAt,
  type LocalConditions,
  localCurve,
} from '../coefficient/crop-coefficient.ts'
import { checkStageDays, type Season, type Stage, type StageOnDay, stageOnDay } from '../coefficient/stages.ts'
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
  const depths = standing.map(({ place }) => depthOn(input.crop, place))
  const totals = deepest(depths).map((depthM) => depthM * input.availableMmPerM)
  checkStart(input.startDepletionMm, totals[0])
  const out = rootZoneOutput(standing.length)
  const column = (pick: (day: StandingDay) => number) => Float64Array.from(standing, pick)
  balanceRootZone(
    {
      etoMm: column((day) => day.weather.etoMm),
      kc: column((day) => day.kc),
      totalMm: Float64Array.from(totals),
      rainMm: column((day) => day.weather.rainMm),
      irrigationMm: column((day) => day.weather.irrigationMm),
      tableFraction: input.crop.depletionFraction,
      startDepletionMm: input.startDepletionMm,
    },
    out,
  )
  return standing.map(({ weather, place, kc }, day) => ({
    ...{ date: weather.date, stage: place.stage, kc, irrigationMm: weather.irrigationMm },
    rootDepthM: totals[day]! / input.availableMmPerM,
    totalAvailableMm: totals[day]!,
    ...dayOf(out, day),
  }))
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

function dayOf(out: RootZoneOutput, day: number) {
  return {
    readilyAvailableMm: out.readilyMm[day]!,
    stress: out.stress[day]!,
    evapotranspirationMm: out.evapotranspirationMm[day]!,
    creditedRainMm: out.creditedRainMm[day]!,
    percolationMm: out.percolationMm[day]!,
    depletionMm: out.depletionMm[day]!,
  }
}

function checkDays(days: readonly RootZoneWeather[]): void {
  for (const [index, day] of days.entries()) {
    if (daysBetween(days[0]!.date, day.date) !== index) {
      throw new InputError('weather-day-missing', { date: addDays(days[0]!.date, index) })
    }
    for (const field of ['etoMm', 'rainMm', 'irrigationMm'] as const) {
      if (!(day[field] >= 0)) throw new InputError('depth-below-zero', { field, date: day.date, value: day[field] })
    }
  }
}

function checkStart(startDepletionMm: number, totalMm: number | undefined): void {
  if (totalMm === undefined || (startDepletionMm >= 0 && startDepletionMm <= totalMm)) return
  throw new InputError('start-depletion-outside', { startDepletionMm, totalMm })
}
