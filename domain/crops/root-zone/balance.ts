import { addDays, type CalendarDate, daysBetween } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { coefficientAt, type LocalConditions, localCurve } from '../crop/coefficient.ts'
import { checkStageDays, type Season, type Stage, type StageOnDay, stageOnDay } from '../crop/stages.ts'
import { creditedRainMm, type RainRule } from '../demand/rain.ts'
import type { RootedCrop } from '../plan.ts'
import { checkAvailableWater } from './available-water.ts'
import { balanceRootZone, rootZoneOutput } from './balance-arrays.ts'

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

interface RootZoneBalanceInput extends Omit<Season, 'stageDays'>, LocalConditions {
  crop: RootedCrop
  /** Water that a metre of the soil holds for roots. */
  availableMmPerM: number
  days: readonly RootZoneWeather[]
  /** Part of the ground under which the roots of a grown crop find water: all of it where left out. */
  rootedPart?: number | undefined
  rainRule?: RainRule | undefined
  /** Depletion at the start of the first day that the crop stands: 0 after a full pre-watering. */
  startDepletionMm: number
}

/**
 * The root zone day by day while the crop stands, depths in mm; days before sowing and after harvest are left out. The lesser
 * printed root depth counts, as FAO-56 advises for watering; soil that the roots newly reach is taken as moist.
 * Throws InputError for a gap in the days, a negative depth of water, or a start outside 0 to what the roots can draw.
 * Source and order of the day: see `balanceRootZone`.
 */
export function rootZoneBalance(input: RootZoneBalanceInput): RootZoneDay[] {
  checkAvailableWater(input.availableMmPerM)
  checkDays(input.days)
  const standing = standingDays(input)
  const depths = rising(standing.map(({ place }) => rootDepthOn(input.crop, place)))
  const parts = standing.map(({ place }) => rootedPartOn(input, place))
  const totals = rising(depths.map((depthM, index) => depthM * input.availableMmPerM * parts[index]!))
  checkStart(input.startDepletionMm, totals[0])
  const creditedMm = column(standing, ({ weather }) => creditedRainMm({ rainMm: weather.rainMm, rule: input.rainRule }))
  const out = rootZoneOutput(standing.length)
  balanceRootZone(
    {
      etoMm: column(standing, (day) => day.weather.etoMm),
      kc: column(standing, (day) => day.kc),
      totalMm: Float64Array.from(totals),
      creditedRainMm: creditedMm,
      irrigationMm: column(standing, (day) => day.weather.irrigationMm),
      tableFraction: input.crop.depletionFraction,
      startDepletionMm: input.startDepletionMm,
    },
    out,
  )
  return standing.map(({ weather, place, kc }, index) => ({
    date: weather.date,
    stage: place.stage,
    kc,
    rootDepthM: depths[index]!,
    totalAvailableMm: totals[index]!,
    readilyAvailableMm: out.readilyMm[index]!,
    stress: out.stress[index]!,
    evapotranspirationMm: out.evapotranspirationMm[index]!,
    creditedRainMm: creditedMm[index]!,
    irrigationMm: weather.irrigationMm,
    percolationMm: out.percolationMm[index]!,
    depletionMm: out.depletionMm[index]!,
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

/** Effective roots of a seedling, m. Source: FAO-56 (1998), scheduling example on beans, Annex 8. */
export const SEEDLING_ROOT_DEPTH_M = 0.2

/**
 * Effective root depth on a day of the season, m: a seedling's until the end of the initial stage, growing evenly
 * through development with the leaves, then full. Perennials start full. Source: FAO-56, Annex 8, equation 8-1 (from memory).
 */
function rootDepthOn({ rootDepthMinM: fullM, perennial }: RootedCrop, { stage, passed }: StageOnDay): number {
  if (perennial) return fullM
  const seedlingM = Math.min(fullM, SEEDLING_ROOT_DEPTH_M)
  if (stage === 'initial') return seedlingM
  if (stage === 'development') return seedlingM + passed * (fullM - seedlingM)
  return fullM
}

/**
 * Part of the ground that holds water for the roots on a day. While a crop is small both its demand and its store belong to the
 * wetted ground around it, so neither is cut; when the leaves have closed, all demand falls on the wetted part. Derived.
 */
function rootedPartOn({ crop, rootedPart = 1 }: RootZoneBalanceInput, { stage, passed }: StageOnDay): number {
  if (crop.perennial) return rootedPart
  if (stage === 'initial') return 1
  return stage === 'development' ? 1 - passed * (1 - rootedPart) : rootedPart
}

/** Roots do not draw back, not even when a crop that repeats begins its stages again. */
function rising(values: readonly number[]): number[] {
  let soFar = 0
  return values.map((value) => {
    soFar = Math.max(soFar, value)
    return soFar
  })
}

function column(standing: readonly StandingDay[], pick: (day: StandingDay) => number): Float64Array {
  const values = new Float64Array(standing.length)
  for (let day = 0; day < values.length; day++) values[day] = pick(standing[day]!)
  return values
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
