import { addDays, type CalendarDate, datesFromTo } from '../../../domain/calendar.ts'
import type { ReferenceEvapotranspiration } from '../../../domain/water/weather/reference-evapotranspiration.ts'
import { dayDemand, type Place } from '../../water/weather/state.ts'
import type { WeatherDay } from '../../water/weather/store.ts'
import { oddReadings } from './reading-limits.ts'

interface MonthRow {
  date: CalendarDate
  day: WeatherDay | null
  demand: ReferenceEvapotranspiration | null
  odd: string[]
}

interface Gap {
  fromOn: CalendarDate
  toOn: CalendarDate
  /** Nothing at all was written, or a figure is missing that the need rests on. */
  lacks: 'all' | 'temperature' | 'rain'
}

/** The first and last day of a month written `YYYY-MM`. */
export function monthSpan(month: string): { fromOn: CalendarDate; toOn: CalendarDate } {
  const fromOn = `${month}-01`
  return { fromOn, toOn: addDays(`${addDays(fromOn, 31).slice(0, 7)}-01`, -1) }
}

/** The month of a day so many months on. */
export function otherMonth(month: string, by: 1 | -1): string {
  return addDays(by > 0 ? monthSpan(month).toOn : monthSpan(month).fromOn, by).slice(0, 7)
}

export function monthRows(
  place: Place,
  days: readonly WeatherDay[],
  span: { fromOn: CalendarDate; toOn: CalendarDate },
): MonthRow[] {
  const byDate = new Map(days.map((day) => [day.onDate, day]))
  return datesFromTo(span.fromOn, span.toOn).map((date) => {
    const day = byDate.get(date) ?? null
    return { date, day, demand: day && dayDemand(place, day), odd: day ? oddReadings(day) : [] }
  })
}

/** Stretches of days that lack the same figure. */
export function gapsIn(rows: readonly MonthRow[]): Gap[] {
  const gaps: Gap[] = []
  for (const lacks of ['all', 'temperature', 'rain'] as const) {
    let open: Gap | null = null
    for (const row of rows) {
      if (!lacking(row, lacks)) open = null
      else if (open) open.toOn = row.date
      else {
        open = { fromOn: row.date, toOn: row.date, lacks }
        gaps.push(open)
      }
    }
  }
  return gaps
}

function lacking({ day }: MonthRow, lacks: Gap['lacks']): boolean {
  if (lacks === 'all') return day === null
  if (!day) return false
  return lacks === 'rain' ? day.rainMm === null : day.tmaxC === null || day.tminC === null
}
