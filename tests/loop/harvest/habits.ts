import type { Policy, Run } from './season.ts'
import { seenLevelM } from './season.ts'
import { type LayOut, laidEvenly, OPEN_DAYS, type WeekTurns } from './spacing.ts'
import { LAST_CROP_DAY, type TrueSeason, type TrueWeir } from './valley.ts'

/** What a morning leaves of the week, m3 by plot: missed or cut short so far, and due on later days. */
export interface WeekLeft {
  missedM3: Float64Array
  aheadM3: Float64Array
}

type PlanWeek = (run: Run, week: number) => WeekTurns
/** What is asked for on an open day beside its turns. */
type BookDay = (run: Run, left: WeekLeft, turnsM3: Float64Array) => void

interface WeekPlan {
  planWeek: PlanWeek
  layOut?: LayOut
  bookDay?: BookDay | undefined
}

/**
 * A policy that plans at dawn of a week's first day; the seventh day is the stream's rest. Turns lie evenly spaced unless it
 * says otherwise. Where it books, what was missed is asked for again on later days.
 */
export function weekly(plan: (season: TrueSeason) => PlanWeek | WeekPlan): Policy {
  return (season) => {
    const planned = plan(season)
    const { planWeek, layOut = laidEvenly, bookDay } = typeof planned === 'function' ? { planWeek: planned } : planned
    let dueM3: Float64Array[] = []
    return (run, turnsM3) => {
      const weekday = run.day % 7
      if (weekday === 0) dueM3 = layOut(planWeek(run, run.day / 7))
      if (weekday >= OPEN_DAYS) return
      dueM3[weekday]!.forEach((sizeM3, plot) => {
        turnsM3[plot]! += sizeM3
      })
      if (weekday > 0) bookDay?.(run, leftOf(run, dueM3), turnsM3)
    }
  }
}

function leftOf({ season, day, givenM3 }: Run, dueM3: readonly Float64Array[]): WeekLeft {
  const [weekday, plots] = [day % 7, season.plots.length]
  const sumM3 = (from: number, to: number, plot: number) =>
    dueM3.slice(from, to).reduce((sum, due) => sum + due[plot]!, 0)
  const given = (plot: number) =>
    Array.from({ length: weekday }, (_, past) => givenM3[(day - weekday + past) * plots + plot]!).reduce(
      (a, b) => a + b,
      0,
    )
  return {
    missedM3: Float64Array.from(season.plots, (_, plot) => Math.max(0, sumM3(0, weekday, plot) - given(plot))),
    aheadM3: Float64Array.from(season.plots, (_, plot) => sumM3(weekday + 1, OPEN_DAYS, plot)),
  }
}

/** The same pump hours for every plot with a crop, as long as the pump gives, whatever the need and the store. */
export const equalHours: Policy = weekly((season) => (run) => {
  const standing = season.plots.map((_, at) => run.today.standing[at] === 1)
  return season.plots.map(({ weir }, at) => {
    const sharing = season.plots.filter((plot, other) => plot.weir === weir && standing[other]).length
    return standing[at] ? [(0.9 * OPEN_DAYS * season.weirs[weir]!.pumpClearDayM3) / sharing] : []
  })
})

/** No reserve: what stands above the off-take, spread evenly over the weeks left and by area over the plots with a crop. */
export const noReserve: Policy = weekly((season) => (run, week) => {
  const weeksLeft = Math.max(1, (LAST_CROP_DAY + 1 - run.day) / 7)
  const released = season.weirs.map((weir, at) => {
    const standsM3 = seenM3(weir, seenLevelM(run, at, week)) - seenM3(weir, weir.offTakeLevelM)
    return Math.max(0, standsM3 / weeksLeft - 7 * weir.drinkingM3PerDay)
  })
  return season.plots.map(({ weir, areaM2 }, at) => {
    const sharing = season.plots.filter((plot, other) => plot.weir === weir && run.today.standing[other] === 1)
    const totalM2 = sharing.reduce((sum, plot) => sum + plot.areaM2, 0)
    return run.today.standing[at] === 1 ? [(released[weir]! * areaM2) / totalM2] : []
  })
})

/** Water at a level by the group's own table. */
export function seenM3({ tableM3 }: Pick<TrueWeir, 'tableM3'>, atM: number): number {
  const above = tableM3.findIndex((row) => row.levelM >= atM)
  if (above <= 0) return above === 0 ? 0 : tableM3.at(-1)!.m3
  const [lower, upper] = [tableM3[above - 1]!, tableM3[above]!]
  return lower.m3 + ((upper.m3 - lower.m3) * (atM - lower.levelM)) / (upper.levelM - lower.levelM)
}
