import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import type { M3 } from '../../units.ts'

/** One plot's place at the pipe. */
export interface LinePlot {
  plotId: Id<'plot'>
  /** Its outlet's tested flow, m3 an hour, at most the pump's. */
  flowM3PerH: number
  /** From opening the valve until water comes. */
  fillingHours: number
}

interface LineTurn {
  plotId: Id<'plot'>
  hours: number
  volumeM3: M3
  /** Pump hours behind each cubic metre: what a price by the hour makes of it. */
  hoursPerM3: number | null
}

interface LineSharing {
  turns: LineTurn[]
  volumeM3: M3
}

/**
 * One round of a pump's line, one outlet open after the other, by the two rules that groups quarrel about: the same hours for all,
 * and the same volume for all. An hour at a slow outlet brings less, so that the same volume needs longer turns there and the
 * round brings less in all. Hours of the round are the pump's. Null where filling the line takes them all. Source: volume = flow x
 * time (worked out here): with equal hours h, V = q (h - filling); with equal volumes, V = (hours - sum of filling) / sum of 1/q.
 */
export function lineSharing({ hours, plots }: { hours: number; plots: readonly LinePlot[] }): {
  sameHours: LineSharing
  sameVolume: LineSharing
} | null {
  const runningHours = hours - sum(plots, ({ fillingHours }) => fillingHours)
  if (plots.length === 0 || !(runningHours > 0)) return null
  const eachM3 = runningHours / sum(plots, ({ flowM3PerH }) => 1 / flowM3PerH)
  const eachHours = hours / plots.length
  return {
    sameHours: sharing(plots, ({ flowM3PerH, fillingHours }) => ({
      hours: eachHours,
      volumeM3: flowM3PerH * Math.max(0, eachHours - fillingHours),
    })),
    sameVolume: sharing(plots, ({ flowM3PerH, fillingHours }) => ({
      hours: eachM3 / flowM3PerH + fillingHours,
      volumeM3: eachM3,
    })),
  }
}

/** The volumes that given hours bring along a line. */
export function lineVolumes(plots: readonly LinePlot[], hours: readonly number[]): LineSharing {
  return sharing(plots, ({ flowM3PerH, fillingHours }, at) => ({
    hours: hours[at]!,
    volumeM3: flowM3PerH * Math.max(0, hours[at]! - fillingHours),
  }))
}

type Turn = Pick<LineTurn, 'hours' | 'volumeM3'>

function sharing(plots: readonly LinePlot[], turnOf: (plot: LinePlot, at: number) => Turn): LineSharing {
  const turns = plots.map((plot, at): LineTurn => {
    const turn = turnOf(plot, at)
    return { plotId: plot.plotId, ...turn, hoursPerM3: turn.volumeM3 > 0 ? turn.hours / turn.volumeM3 : null }
  })
  return { turns, volumeM3: sum(turns, ({ volumeM3 }) => volumeM3) }
}
