import type { TruePlot } from './valley.ts'

/** The days of a week on which pumps run. */
export const OPEN_DAYS = 6

/** What a plot gets in a week: the size of each of its turns, one to three of them. */
export type WeekTurns = readonly (readonly number[])[]

/** Lays the turns of a week on its open days: m3 by day and plot. */
export type LayOut = (turns: WeekTurns) => Float64Array[]

export const laidEvenly: LayOut = (turns) => laid(turns, (plot) => plot)

/** Plots of a weir in the order in which they would suffer, each when the water of those before it has been given. */
export function laidByDaysLeft(plots: readonly TruePlot[], daysLeft: readonly (number | null)[]): LayOut {
  return (turns) => {
    const m3 = turns.map((sizes) => sizes.reduce((sum, one) => sum + one, 0))
    const firstDay = new Map<number, number>()
    for (const weir of new Set(plots.map((plot) => plot.weir))) {
      const own = plots.flatMap((plot, at) => (plot.weir === weir && m3[at]! > 0 ? [at] : []))
      const left = (at: number) => daysLeft[at] ?? Number.POSITIVE_INFINITY
      const wholeM3 = own.reduce((sum, at) => sum + m3[at]!, 0)
      let beforeM3 = 0
      for (const at of own.toSorted((a, b) => (left(a) === left(b) ? a - b : left(a) - left(b)))) {
        const span = OPEN_DAYS / turns[at]!.length
        firstDay.set(at, Math.floor((span * (beforeM3 + m3[at]! / 2)) / wholeM3))
        beforeM3 += m3[at]!
      }
    }
    return laid(turns, (plot) => firstDay.get(plot) ?? 0)
  }
}

function laid(turns: WeekTurns, firstDay: (plot: number) => number): Float64Array[] {
  const dueM3 = Array.from({ length: OPEN_DAYS }, () => new Float64Array(turns.length))
  turns.forEach((sizes, plot) => {
    const days = sizes.map((_, turn) => (firstDay(plot) + Math.round((turn * OPEN_DAYS) / sizes.length)) % OPEN_DAYS)
    days.sort()
    sizes.forEach((sizeM3, turn) => {
      dueM3[days[turn]!]![plot]! += sizeM3
    })
  })
  return dueM3
}
