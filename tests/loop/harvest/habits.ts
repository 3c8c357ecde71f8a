import type { Policy, Run } from './season.ts'
import { seenLevelM } from './season.ts'
import { LAST_CROP_DAY, type TrueSeason, type TrueWeir } from './valley.ts'

/** What a plot gets in a week: the size of each of its turns, one to three of them. */
export type WeekTurns = readonly (readonly number[])[]

const OPEN_DAYS = 6

/** A policy that plans at dawn of a week's first day; the seventh day is the stream's rest. Turns lie evenly spaced. */
export function weekly(plan: (season: TrueSeason) => (run: Run, week: number) => WeekTurns): Policy {
  return (season) => {
    const planWeek = plan(season)
    let turns: WeekTurns = []
    return (run, turnsM3) => {
      const weekday = run.day % 7
      if (weekday === 0) turns = planWeek(run, run.day / 7)
      turns.forEach((sizes, plot) => {
        const days = sizes.map((_, turn) => (plot + Math.round((turn * OPEN_DAYS) / sizes.length)) % OPEN_DAYS).sort()
        sizes.forEach((sizeM3, turn) => {
          if (days[turn] === weekday) turnsM3[plot]! += sizeM3
        })
      })
    }
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
