import { addDays, type CalendarDate, datesFromTo, daysBetween } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { sum } from '../../sum.ts'
import { depthToVolumeM3, type Range } from '../../units.ts'
import { type WeekLengths, weekByDay } from '../../weeks.ts'
import type { Climate } from '../crop/climate-adjustment.ts'
import { cropCoefficient } from '../crop/coefficient.ts'
import { seasonLengthDays } from '../crop/stages.ts'
import { NEED_ERRORS } from '../demand/errors.ts'
import { monthIndex } from '../demand/month-table.ts'
import type { MonthDemand } from '../demand/usual-demand.ts'
import { grossRangeM3 } from '../need/gross-range.ts'
import { seedBedMm } from '../need/seed-bed.ts'
import { type CropPlan, checkPlan } from '../plan.ts'

interface SeasonNeedInput {
  plan: CropPlan
  /** Days before this one are over; those of a season not yet begun all count. */
  fromOn: CalendarDate
  /** A crop that stands for years is followed to here. */
  seasonEndOn: CalendarDate
  /** The usual demand of each month, January first. */
  months: readonly MonthDemand[]
  efficiency: Range
  /** Water that a metre of the soil holds for roots, mm: for the bed of a crop still to be sown. */
  availableMmPerM: Range
  rootedPart?: Range | undefined
  climate?: Climate | undefined
}

export interface SeasonNeed {
  /** What the crop uses and what its bed drinks before sowing, together and apart. */
  netMm: number
  useMm: number
  bedMm: number
  /** Water still to bring to each square metre. */
  grossM3PerM2: Range
  /** The water of the bed falls on the day of sowing. */
  days: { date: CalendarDate; kc: number; netMm: number }[]
  errorFraction: number
}

/**
 * What a crop still needs from a day to its harvest, mm, by the usual demand of each month and no rain, since rain that is only
 * hoped for is not water; with the water of its bed where it is still to be sown. A crop that stands for years is followed to
 * the end of the season. Throws what `checkPlan` throws. Source: FAO-56 (1998), equation 58, day by day.
 */
export function seasonNeed(input: SeasonNeedInput): SeasonNeed {
  const { plan, fromOn, months, efficiency } = input
  checkPlan(plan)
  if (months.length !== 12) throw new InputError('month-table-wrong', { values: months.length })
  const isSown = plan.plantedOn < fromOn
  const bed = !isSown ? seedBedMm({ ...input, on: plan.plantedOn, days: [] }) : NO_BED
  const days = datesFromTo(isSown ? fromOn : plan.plantedOn, lastDay(input)).flatMap((date) => {
    const kc = cropCoefficient({ ...plan, climate: input.climate, date })?.kc
    if (kc === undefined) return []
    const useMm = kc * months[monthIndex(date)]!.etoMmPerDay
    return [{ date, kc, netMm: date === plan.plantedOn ? useMm + bed.likely : useMm }]
  })
  const netMm = sum(days, (day) => day.netMm)
  const used = [...new Set(days.map((day) => monthIndex(day.date)))]
  const etoError = Math.max(0, ...used.map((month) => months[month]!.errorFraction))
  const errorFraction = Math.hypot(NEED_ERRORS.coefficient, etoError)
  const bedMm = days.length > 0 ? bed.likely : 0
  const useMm = netMm - bedMm
  const doubt = {
    low: Math.max(0, netMm - Math.hypot(errorFraction * useMm, bed.likely - bed.low)),
    likely: netMm,
    high: netMm + Math.hypot(errorFraction * useMm, bed.high - bed.likely),
  }
  const grossM3PerM2 = grossRangeM3({ netMm: doubt, efficiency, areaM2: 1 })
  return { netMm, useMm, bedMm, grossM3PerM2, days, errorFraction }
}

const NO_BED: Range = { low: 0, likely: 0, high: 0 }

function lastDay({ plan, seasonEndOn }: SeasonNeedInput): CalendarDate {
  const { crop, plantedOn, harvestedOn, repeats } = plan
  if (repeats) return harvestedOn ?? (seasonEndOn > plantedOn ? seasonEndOn : plantedOn)
  const grown = addDays(plantedOn, seasonLengthDays(crop.stageDays) - 1)
  return harvestedOn && harvestedOn < grown ? harvestedOn : grown
}

/**
 * The likely gross need of one crop in each of so many weeks from a day on, m3: the days of `seasonNeed` over the losses of the
 * method, times the ground of each day. Source: as `seasonNeed`.
 */
export function weeklyGrossM3(input: {
  days: SeasonNeed['days']
  areaM2: number | ((date: CalendarDate) => number)
  efficiency: Range
  fromOn: CalendarDate
  weeks: number
  /** Seven where left out. */
  weekDays?: WeekLengths
}): number[] {
  const { areaM2, efficiency, fromOn, weeks, weekDays = 7 } = input
  const needsM3 = new Array<number>(weeks).fill(0)
  const last = input.days.at(-1)?.date ?? fromOn
  const weekOf = weekByDay(weekDays, Math.max(0, daysBetween(fromOn, last) + 1))
  for (const { date, netMm } of input.days) {
    const week = weekOf[daysBetween(fromOn, date)]
    if (week === undefined || week >= weeks) continue
    const groundM2 = typeof areaM2 === 'number' ? areaM2 : areaM2(date)
    needsM3[week]! += depthToVolumeM3({ depthMm: netMm / efficiency.likely, areaM2: groundM2 })
  }
  return needsM3
}
