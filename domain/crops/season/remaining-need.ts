import type { CalendarDate } from '../../calendar.ts'
import type { Range } from '../../units.ts'
import type { Climate } from '../crop/climate-adjustment.ts'
import { NEED_ERRORS } from '../demand/errors.ts'
import type { MonthDemand } from '../demand/usual-demand.ts'
import { grossRangeM3 } from '../need/gross-range.ts'
import type { CropPlan } from '../plan.ts'
import { seasonNeed } from './need.ts'

export interface RemainingNeed {
  netMm: number
  /** Water still to bring to each square metre. */
  grossM3PerM2: Range
  days: { date: CalendarDate; kc: number; netMm: number }[]
  errorFraction: number
}

/**
 * What a crop still needs from a day to its harvest, by the usual demand of each month and no rain (rain that is only hoped
 * for is not water). A crop that stands for years is followed to the end of the season. Source: as `seasonNeed`.
 */
export function remainingNeed(input: {
  plan: CropPlan
  fromOn: CalendarDate
  seasonEndOn: CalendarDate
  months: readonly MonthDemand[]
  efficiency: Range
  climate?: Climate | undefined
}): RemainingNeed {
  const { plan, fromOn, seasonEndOn, months, efficiency } = input
  const ended = plan.harvestedOn ?? null
  const harvestedOn = plan.repeats ? (ended ?? later(seasonEndOn, plan.plantedOn)) : ended
  const season = seasonNeed({
    ...plan,
    harvestedOn,
    monthlyEtoMmPerDay: months.map((month) => month.etoMmPerDay),
    efficiency,
    etoErrorFraction: 0,
    ...(input.climate ? { climate: input.climate } : {}),
  })
  const days = season.days.filter((day) => day.date >= fromOn)
  const netMm = days.reduce((sum, day) => sum + day.netMm, 0)
  const used = new Set(days.map((day) => Number(day.date.slice(5, 7)) - 1))
  const etoError = Math.max(0, ...[...used].map((month) => months[month]!.errorFraction))
  const errorFraction = Math.hypot(NEED_ERRORS.coefficient, etoError)
  const errorMm = errorFraction * netMm
  const doubt = { low: Math.max(0, netMm - errorMm), likely: netMm, high: netMm + errorMm }
  const grossM3PerM2 = grossRangeM3({ netMm: doubt, efficiency, areaM2: 1 })
  return { netMm, grossM3PerM2, days, errorFraction }
}

function later(one: CalendarDate, other: CalendarDate): CalendarDate {
  return one > other ? one : other
}
