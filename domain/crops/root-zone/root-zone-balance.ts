import { addDays, type CalendarDate } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import type { Climate } from '../coefficient/climate-adjustment.ts'
import { type CoefficientCurve, cropCoefficient } from '../coefficient/crop-coefficient.ts'
import { type Season, type Stage, type StageOnDay, stageOn } from '../coefficient/stages.ts'
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

export interface RootZoneBalanceInput extends Omit<Season, 'stageDays'> {
  crop: RootedCrop
  /** Water that a metre of the soil holds for roots. */
  availableMmPerM: number
  days: readonly RootZoneWeather[]
  /** Depletion at the start of the first day that the crop stands: 0 after a full pre-watering. */
  startDepletionMm: number
  climate?: Climate
}

/**
 * The root zone day by day while the crop stands; days before sowing and after harvest are left out. The lesser printed root
 * depth counts, as FAO-56 advises for watering; soil that the roots newly reach is taken as moist.
 * Throws InputError for a gap in the days, a negative depth of water, or a start outside 0 to what the roots can draw.
 * Source and order of the day: see `balanceRootZone`.
 */
export function rootZoneBalance(input: RootZoneBalanceInput): RootZoneDay[] {
  checkDays(input.days)
  const standing = input.days.flatMap((weather) => {
    const place = stageOn({ ...input, stageDays: input.crop.stageDays }, weather.date)
    return place ? [{ weather, place, kc: coefficientOn(input, weather.date) }] : []
  })
  const depths = standing.map(({ place }) => depthOn(input.crop, place))
  const totals = deepest(depths).map((depthM) => depthM * input.availableMmPerM)
  checkStart(input.startDepletionMm, totals[0])
  const out = rootZoneOutput(standing.length)
  const column = (pick: (day: (typeof standing)[number]) => number) => Float64Array.from(standing, pick)
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

function coefficientOn(input: RootZoneBalanceInput, date: CalendarDate): number {
  return cropCoefficient({ ...input, date })!.kc
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
    const due = index === 0 ? day.date : addDays(days[index - 1]!.date, 1)
    if (day.date !== due) throw new InputError('weather-day-missing', { date: due })
    for (const field of ['etoMm', 'rainMm', 'irrigationMm'] as const) {
      if (!(day[field] >= 0)) throw new InputError('depth-below-zero', { field, date: day.date, value: day[field] })
    }
  }
}

function checkStart(startDepletionMm: number, totalMm: number | undefined): void {
  if (totalMm === undefined || (startDepletionMm >= 0 && startDepletionMm <= totalMm)) return
  throw new InputError('start-depletion-outside', { startDepletionMm, totalMm })
}
