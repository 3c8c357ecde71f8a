import { ascending } from 'd3-array'
import type { CalendarDate } from '../../calendar.ts'
import { sum } from '../../sum.ts'
import { depthToVolumeM3, type M3 } from '../../units.ts'
import { type WeekRhythm, weekStartOf } from '../../weeks.ts'

interface CalendarPlan {
  id: string
  areaM2: number
  /** Likely efficiency of the plot's method. */
  efficiency: number
  /** Days of `seasonNeed`. */
  days: readonly { date: CalendarDate; netMm: number }[]
}

interface CalendarWeek {
  startsOn: CalendarDate
  grossM3: M3
  byPlan: { id: string; grossM3: M3 }[]
  /** Demand above what the pumps lift in a week; 0 where they keep up or their lift was not told. */
  overLiftM3: M3
}

/** Likely demand of all plans week by week, so that a common peak is seen before planting; weeks without demand between are kept out. */
export function seasonCalendar(input: {
  plans: readonly CalendarPlan[]
  rhythm: WeekRhythm
  weeklyLiftM3?: M3
}): CalendarWeek[] {
  const weeks = new Map<CalendarDate, Map<string, number>>()
  const ofDay = new Map<CalendarDate, Map<string, number>>()
  for (const plan of input.plans) {
    for (const day of plan.days) {
      const byPlan = ofDay.get(day.date) ?? entry(weeks, weekStartOf(day.date, input.rhythm))
      ofDay.set(day.date, byPlan)
      const grossM3 = depthToVolumeM3({ depthMm: day.netMm / plan.efficiency, areaM2: plan.areaM2 })
      byPlan.set(plan.id, (byPlan.get(plan.id) ?? 0) + grossM3)
    }
  }
  return [...weeks]
    .sort(([a], [b]) => ascending(a, b))
    .map(([startsOn, byPlan]) => {
      const grossM3 = sum([...byPlan.values()])
      const overLiftM3 = Math.max(0, grossM3 - (input.weeklyLiftM3 ?? Number.POSITIVE_INFINITY))
      return { startsOn, grossM3, byPlan: [...byPlan].map(([id, volume]) => ({ id, grossM3: volume })), overLiftM3 }
    })
}

function entry(weeks: Map<CalendarDate, Map<string, number>>, startsOn: CalendarDate): Map<string, number> {
  const known = weeks.get(startsOn)
  if (known) return known
  const fresh = new Map<string, number>()
  weeks.set(startsOn, fresh)
  return fresh
}
