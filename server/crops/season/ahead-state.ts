import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { MonthDemand } from '../../../domain/crops/demand/usual-demand.ts'
import { weeklyGrossM3 } from '../../../domain/crops/season/need.ts'
import type { Group } from '../../../domain/people/group.ts'
import { sum } from '../../../domain/sum.ts'
import { depthToVolumeM3 } from '../../../domain/units.ts'
import { weekByDay } from '../../../domain/weeks.ts'
import type { Database } from '../../database/connection.ts'
import type { Plot } from '../../people/plot/store.ts'
import { efficiencyOf } from '../need/plan-water.ts'
import { seasonNeeds } from './need.ts'

/** What a plot's crops ask for in the weeks to come, m3 gross, the first week first. */
export interface PlotAhead {
  plot: Plot
  /** By what is declared and stands on it; null where nothing is. */
  plannedM3: number[] | null
  /** By its area and the usual demand of each month, as if grass grew on all of it; null while no month is known. */
  byAreaM3: number[] | null
}

/** The need of every plot by week, from a first day on, for weeks of so many days each: by declared plans, and by area beside. */
export async function plotsAhead(
  db: Database,
  {
    group,
    fromOn,
    today,
    weekDays,
  }: { group: Group; fromOn: CalendarDate; today: CalendarDate; weekDays: readonly number[] },
): Promise<PlotAhead[]> {
  const season = await seasonNeeds(db, { group, fromOn, today })
  const weeks = weekDays.length
  const byDay = weekByDay(weekDays, sum(weekDays))
  const weekOf = new Map(byDay.map((week, day): [CalendarDate, number] => [addDays(fromOn, day), week]))
  const byWeek = (days: readonly { date: CalendarDate; netMm: number }[]) => {
    const sumsMm = Array.from({ length: weeks }, () => 0)
    for (const { date, netMm } of days) {
      const week = weekOf.get(date)
      if (week !== undefined) sumsMm[week]! += netMm
    }
    return sumsMm
  }
  const grassMm = season.months && byWeek(grassDays(season.months, [...weekOf.keys()]))
  return season.plots.map((plot) => {
    const efficiency = efficiencyOf(plot, season.settings).likely
    const gross = (weekMm: number, areaM2: number) => depthToVolumeM3({ depthMm: weekMm, areaM2 }) / efficiency
    const planned = season.plans
      .filter((one) => one.plot.id === plot.id)
      .map(({ need, areaM2, efficiency: own }) => {
        return weeklyGrossM3({ days: need.days, areaM2, efficiency: own, fromOn, weeks, weekDays })
      })
    const stands = season.standing.some((one) => one.plot.id === plot.id)
    const sumOf = (week: number) => sum(planned, (weeksM3) => weeksM3[week]!)
    return {
      plot,
      plannedM3: stands ? Array.from({ length: weeks }, (_, week) => sumOf(week)) : null,
      byAreaM3: grassMm?.map((mm) => gross(mm, plot.areaM2)) ?? null,
    }
  })
}

function grassDays(months: readonly MonthDemand[], dates: readonly CalendarDate[]) {
  return dates.map((date) => ({ date, netMm: months[Number(date.slice(5, 7)) - 1]!.etoMmPerDay }))
}
