import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { exactM3, type M3 } from '../../units.ts'
import { type FairnessIndicators, fairnessIndicators } from './indicators.ts'

type LinePlace = 'head' | 'middle' | 'tail'

export interface FairnessPlot {
  id: Id<'plot'>
  /** Null where the plot has no place on a line yet. */
  linePlace: LinePlace | null
  weirIds: Id<'weir'>[]
  groups: string[]
}

interface FairnessWeek {
  weekStartOn: CalendarDate
  entitledM3: Record<string, number>
  receivedM3: Record<string, number>
}

/** What a plot received, with how sure that is. */
interface ReceivedSure {
  measuredM3: M3
  estimatedM3: M3
  uncertaintyM3: M3
}

/** Whether a difference is more than the tools can show. */
type Difference = 'none' | 'less' | 'more'

interface FairnessLine {
  entitledM3: M3
  receivedM3: M3
  measuredM3: M3
  estimatedM3: M3
  uncertaintyM3: M3
  /** Received / entitled; null where nothing was due. */
  level: number | null
  /** Plots: against what was due. Groups of plots: against the level of all plots together. */
  difference: Difference | null
}

export interface SeasonFairness {
  plots: (FairnessLine & { plotId: Id<'plot'> })[]
  all: FairnessLine
  byLine: (FairnessLine & { name: LinePlace; plots: number })[]
  byWeir: (FairnessLine & { name: string; plots: number })[]
  byGroup: (FairnessLine & { name: string; plots: number })[]
  indicators: FairnessIndicators
}

/** Differences under a tenth are no evidence, however sure the meter. Common practice, no source. */
const LEAST_DIFFERENCE = 0.1

/** Received against entitled over the weeks that are over: each plot, then by place on the line, by weir, by holder group. */
export function seasonFairness({
  plots,
  weeks,
  received,
}: {
  plots: readonly FairnessPlot[]
  weeks: readonly FairnessWeek[]
  received: Record<string, ReceivedSure>
}): SeasonFairness {
  const due = plots.filter((plot) => weeks.some((week) => (week.entitledM3[plot.id] ?? 0) > 0))
  const lines = due.map((plot) => ({ plot, line: lineOf([plot], weeks, received) }))
  const all = lineOf(due, weeks, received)
  const grouped = <N extends string>(namesOf: (plot: FairnessPlot) => readonly N[], order?: readonly N[]) => {
    const names = order ?? [...new Set(due.flatMap(namesOf))].sort()
    return names.flatMap((name) => {
      const own = due.filter((plot) => namesOf(plot).includes(name))
      const line = lineOf(own, weeks, received)
      return own.length > 0 ? [{ name, plots: own.length, ...line, difference: fromLevel(line, all.level) }] : []
    })
  }
  return {
    plots: lines.map(({ plot, line }) => ({ plotId: plot.id, ...line, difference: fromLevel(line, 1) })),
    all: { ...all, difference: fromLevel(all, 1) },
    byLine: grouped((plot) => (plot.linePlace ? [plot.linePlace] : []), ['head', 'middle', 'tail']),
    byWeir: grouped((plot) => plot.weirIds),
    byGroup: grouped((plot) => plot.groups),
    indicators: fairnessIndicators({
      requiredM3: weeks.map((week) => due.map((plot) => week.entitledM3[plot.id] ?? 0)),
      deliveredM3: weeks.map((week) => due.map((plot) => week.receivedM3[plot.id] ?? 0)),
    }),
  }
}

/** Thirds of a line by the plots' places on it, 1 next to the pump. */
export function linePlace({ position, last }: { position: number; last: number }): LinePlace {
  if (!(position >= 1 && position <= last)) throw new RangeError(`no place ${position} on a line of ${last}`)
  if (position * 3 <= last) return 'head'
  return position * 3 <= 2 * last ? 'middle' : 'tail'
}

function lineOf(
  plots: readonly FairnessPlot[],
  weeks: readonly FairnessWeek[],
  received: Record<string, ReceivedSure>,
): FairnessLine {
  const total = (value: (plotId: Id<'plot'>) => number) => sum(plots, ({ id }) => value(id))
  const overWeeks = (volumes: (week: FairnessWeek) => Record<string, number>) =>
    total((plotId) => sum(weeks, (week) => volumes(week)[plotId] ?? 0))
  const entitledM3 = overWeeks((week) => week.entitledM3)
  const receivedM3 = overWeeks((week) => week.receivedM3)
  return {
    entitledM3,
    receivedM3,
    measuredM3: total((plotId) => received[plotId]?.measuredM3 ?? 0),
    estimatedM3: total((plotId) => received[plotId]?.estimatedM3 ?? 0),
    // The errors of one meter lean the same way in every turn, so they are added and not squared.
    uncertaintyM3: total((plotId) => received[plotId]?.uncertaintyM3 ?? 0),
    level: entitledM3 > 0 ? receivedM3 / entitledM3 : null,
    difference: null,
  }
}

/** A difference counts only beyond a tenth of what was due and beyond the measuring error. */
function fromLevel({ entitledM3, receivedM3, uncertaintyM3 }: FairnessLine, level: number | null): Difference | null {
  if (level === null || entitledM3 === 0) return null
  const differenceM3 = exactM3(receivedM3 - level * entitledM3)
  const shownM3 = exactM3(Math.max(LEAST_DIFFERENCE * entitledM3, uncertaintyM3))
  if (Math.abs(differenceM3) <= shownM3) return 'none'
  return differenceM3 < 0 ? 'less' : 'more'
}
