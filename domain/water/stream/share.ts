import { addDays, type CalendarDate, daysBetween, isCalendarDate } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { sum } from '../../sum.ts'
import { exactM3, type M3, type Range } from '../../units.ts'

interface Draw {
  drawnOn: CalendarDate
  volumeM3: M3
}

/** What is drawn over what flows by, 0 upward; null where nothing flows. Low is by the largest flow that the gauging allows. */
export function shareOfFlow({ drawnM3PerDay, flowM3PerH }: { drawnM3PerDay: number; flowM3PerH: Range }): Range | null {
  if (!(flowM3PerH.low > 0)) return null
  const over = (m3PerH: number) => drawnM3PerDay / (24 * m3PerH)
  return { low: over(flowM3PerH.high), likely: over(flowM3PerH.likely), high: over(flowM3PerH.low) }
}

interface PermitYear {
  fromOn: CalendarDate
  /** The last day of it. */
  toOn: CalendarDate
}

/** The permit's year that holds a day; `startsOn` is its first day as MM-DD. Throws InputError `year-start-unknown`. */
export function permitYear({ startsOn, on }: { startsOn: CalendarDate; on: CalendarDate }): PermitYear {
  // 29 February would be missing in three years of four.
  if (!isCalendarDate(`2001-${startsOn}`)) throw new InputError('year-start-unknown', { typed: startsOn })
  const year = Number(on.slice(0, 4))
  const fromOn = `${year}-${startsOn}` <= on ? `${year}-${startsOn}` : `${year - 1}-${startsOn}`
  return { fromOn, toOn: addDays(`${Number(fromOn.slice(0, 4)) + 1}-${startsOn}`, -1) }
}

const PACE_DAYS = 28

export interface PermitUse extends PermitYear {
  drawnM3: M3
  /** Of the limit. */
  part: number
  leftM3: M3
  state: 'within' | 'near' | 'reached'
  /** Mean of the last four weeks, or of the permit year so far where that is shorter. */
  paceM3PerDay: number
  /** The day on which the limit is reached at that pace; null when that lies beyond the permit's year. */
  reachedOn: CalendarDate | null
}

/** How much of a permit's yearly volume is drawn, warned before it is reached. Drinking water counts as the permit counts it: all draws. */
export function permitUse({
  limitM3,
  warnPart,
  startsOn,
  today,
  draws,
}: {
  limitM3: M3
  warnPart: number
  startsOn: CalendarDate
  today: CalendarDate
  draws: readonly Draw[]
}): PermitUse {
  if (!(limitM3 > 0)) throw new InputError('limit-not-above-zero', { limitM3 })
  const year = permitYear({ startsOn, on: today })
  const drawnBetween = (fromOn: CalendarDate) =>
    exactM3(sum(draws, (draw) => (draw.drawnOn >= fromOn && draw.drawnOn <= today ? draw.volumeM3 : 0)))
  const drawnM3 = drawnBetween(year.fromOn)
  const paceFromOn = [year.fromOn, addDays(today, 1 - PACE_DAYS)].sort().at(-1)!
  const recentM3 = drawnBetween(paceFromOn)
  const paceDays = daysBetween(paceFromOn, today) + 1
  const paceM3PerDay = recentM3 / paceDays
  const leftM3 = Math.max(0, limitM3 - drawnM3)
  // Multiplied first: 42 m3 at 28 m3 in ten days are fifteen days, and a crumb more by a rounded pace.
  const days = recentM3 > 0 ? Math.ceil((leftM3 * paceDays) / recentM3 - 1e-9) : Number.POSITIVE_INFINITY
  const isInYear = days <= daysBetween(today, year.toOn)
  const isNear = drawnM3 >= exactM3(warnPart * limitM3)
  return {
    ...year,
    drawnM3,
    part: drawnM3 / limitM3,
    leftM3,
    state: leftM3 === 0 ? 'reached' : isNear ? 'near' : 'within',
    paceM3PerDay,
    reachedOn: isInYear ? addDays(today, days) : null,
  }
}
