import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { mean } from '../../../domain/sum.ts'
import type { BookRest } from '../../../domain/water/loss/rests.ts'
import type { Database } from '../../database/connection.ts'
import { dayDemand } from '../weather/state.ts'
import { weatherDays } from '../weather/store.ts'

/** Open water gives off a little more than the reference grass. FAO-56, table 12, open water: 1.05; status: memory. */
export const OPEN_WATER_OVER_REFERENCE = 1.05

/** What open water gave off on a day, mm, wherever the weather of that day is written. */
export type OpenWaterByDay = ReadonlyMap<CalendarDate, number>

export async function openWaterByDay(
  db: Database,
  { group, fromOn, toOn }: { group: Group | undefined; fromOn: CalendarDate; toOn: CalendarDate },
): Promise<OpenWaterByDay> {
  if (!group) return new Map()
  const days = await weatherDays(db, { fromOn, toOn })
  return new Map(
    days.flatMap((day) => {
      const demand = dayDemand(group, day)
      return demand ? [[day.onDate, demand.etoMm * OPEN_WATER_OVER_REFERENCE] as const] : []
    }),
  )
}

/** Mean over the days of rest whose weather is written, mm a day; null with none. */
export function openWaterOfRests(byDay: OpenWaterByDay, rests: readonly BookRest[]): number | null {
  const known = rests.flatMap(({ fromOn, days }) =>
    Array.from({ length: days }, (_, day) => byDay.get(addDays(fromOn, day)) ?? []).flat(),
  )
  return known.length === 0 ? null : mean(known)
}
