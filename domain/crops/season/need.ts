import { addDays, type CalendarDate, datesFromTo } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import type { Range } from '../../units.ts'
import { type CoefficientCurve, cropCoefficient, type LocalConditions } from '../crop/coefficient.ts'
import { type Season, seasonLengthDays } from '../crop/stages.ts'
import { NEED_ERRORS } from '../demand/errors.ts'
import { checkMonths, monthIndex } from '../demand/month-table.ts'
import { grossRangeM3 } from '../need/gross-range.ts'

export interface SeasonNeedInput extends Omit<Season, 'stageDays'>, LocalConditions {
  crop: CoefficientCurve
  /** Usual reference evapotranspiration of each month, January first, mm a day. */
  monthlyEtoMmPerDay: readonly number[]
  /** Effective rain to count on in each month, January first, mm a month; none where left out. */
  monthlyEffectiveRainMm?: readonly number[]
  efficiency: Range
  etoErrorFraction: number
}

export interface SeasonNeed {
  etcMm: number
  creditedRainMm: number
  /** Water to bring to each square metre from sowing to harvest. */
  grossM3PerM2: Range
  days: { date: CalendarDate; kc: number; netMm: number }[]
}

/**
 * A crop's need from sowing to harvest by the month's usual weather; a crop that repeats must say when it ends
 * (InputError `repeating-crop-needs-end`). Source: FAO-56 (1998), equation 58, day by day.
 */
export function seasonNeed(input: SeasonNeedInput): SeasonNeed {
  checkMonths(input.monthlyEtoMmPerDay)
  if (input.monthlyEffectiveRainMm) checkMonths(input.monthlyEffectiveRainMm)
  let etcMm = 0
  let creditedRainMm = 0
  const days = datesFromTo(input.plantedOn, lastDay(input)).map((date) => {
    const kc = cropCoefficient({ ...input, date })!.kc
    const useMm = kc * input.monthlyEtoMmPerDay[monthIndex(date)]!
    const rainMm = Math.min(useMm, (input.monthlyEffectiveRainMm?.[monthIndex(date)] ?? 0) / daysInMonth(date))
    etcMm += useMm
    creditedRainMm += rainMm
    return { date, kc, netMm: useMm - rainMm }
  })
  const errorMm = Math.hypot(
    etcMm * Math.hypot(NEED_ERRORS.coefficient, input.etoErrorFraction),
    creditedRainMm * NEED_ERRORS.creditedRain,
  )
  const likelyMm = etcMm - creditedRainMm
  const netMm = { low: Math.max(0, likelyMm - errorMm), likely: likelyMm, high: likelyMm + errorMm }
  const grossM3PerM2 = grossRangeM3({ netMm, efficiency: input.efficiency, areaM2: 1 })
  return { etcMm, creditedRainMm, grossM3PerM2, days }
}

function lastDay({ crop, plantedOn, harvestedOn, repeats }: SeasonNeedInput): CalendarDate {
  if (repeats && !harvestedOn) throw new InputError('repeating-crop-needs-end', { plantedOn })
  const grown = addDays(plantedOn, seasonLengthDays(crop.stageDays) - 1)
  return harvestedOn && (repeats || harvestedOn < grown) ? harvestedOn : grown
}

function daysInMonth(date: CalendarDate): number {
  return new Date(Date.UTC(Number(date.slice(0, 4)), Number(date.slice(5, 7)), 0)).getUTCDate()
}
