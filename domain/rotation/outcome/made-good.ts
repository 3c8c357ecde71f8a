import { group } from 'd3-array'
import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { type M3, toLitreM3 } from '../../units.ts'
import type { WeekBeyond } from './missed.ts'

/** What a plot was due in a published week and what came of it. */
export interface WeekOfPlot {
  weekStartOn: CalendarDate
  plotId: Id<'plot'>
  /** The pumps that serve it. */
  pumpIds: readonly Id<'pump'>[]
  /** Served in full before the others. */
  isProtected: boolean
  /** Its part of the week's water, less what a breakdown took from it; under a rule for one week alone what it asked for. */
  dueM3: M3
  /** Delivered, with what was agreed for it and has neither been written in nor called missed. */
  receivedM3: M3
  /** Given to it, and not taken by its own doing. */
  missedM3: M3
  /** An excused turn of it may be made good in this week. */
  makesGood: boolean
}

/**
 * What each plot that makes good an excused turn was given beyond its equals, m3 by week. Its equals are the other plots of that week on
 * one of its pumps, served in the same order, that make nothing good themselves. They show which part of what was due the
 * week could give at all: where a pump carries half, half is what equals receive, and whatever comes beyond half of its own due makes
 * good. What an equal threw away was given to it too. Without any equal the whole of its due is the mark.
 * Source: the group's own rule (an excused turn is not punished); common practice, no source.
 */
export function beyondEquals({ weeks }: { weeks: readonly WeekOfPlot[] }): WeekBeyond[] {
  return [...group(weeks, ({ weekStartOn }) => weekStartOn).values()].flatMap((all) =>
    all
      .filter((own) => own.makesGood)
      .map((own) => {
        const equalsM3 = partGiven(all.filter((other) => isEqual(own, other))) * own.dueM3
        return {
          weekStartOn: own.weekStartOn,
          plotId: own.plotId,
          beyondM3: Math.max(0, toLitreM3(own.receivedM3 - equalsM3)),
        }
      }),
  )
}

function isEqual(own: WeekOfPlot, other: WeekOfPlot): boolean {
  const together = other.pumpIds.some((id) => own.pumpIds.includes(id))
  return other.plotId !== own.plotId && together && other.isProtected === own.isProtected && !other.makesGood
}

function partGiven(equals: readonly WeekOfPlot[]): number {
  const dueM3 = sum(equals, (one) => one.dueM3)
  return dueM3 > 0 ? sum(equals, ({ receivedM3, missedM3 }) => receivedM3 + missedM3) / dueM3 : 1
}
