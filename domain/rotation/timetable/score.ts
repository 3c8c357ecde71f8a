import { MINUTES_PER_DAY } from '../../units.ts'
import { CRUMB_LITRES } from '../allocation/outlet-crumbs.ts'
import { BURDENS, isBorne, type TurnTime } from './burdens.ts'
import type { Placed } from './layout/day.ts'
import { type Layout, restAfter } from './layout/layout.ts'
import type { PumpWeek } from './pump/pump-week.ts'
import { meetsWish } from './wishes.ts'

/** A litre after the crop's latest day counts as this part of a litre not served (ours). */
const LATE_PART = 0.1
/** A claim that misses a few litres counts as missing this part of the week's water, so that no wish outweighs them. */
const LEAST_REST_PART = 1e-3
/** Dearer than leaving the crumb unplaced, which the next allocation then takes for a limit. */
const CRUMB_PART = 2 * LEAST_REST_PART
/** As parts of the week's water: small enough that a wish costs the group about a thousandth of it at most. */
const TAIL_LAST_PART = 1e-3
/** For each day that water waits: a week that is served early has room when a pump stands still. */
const DAY_PART = 2e-4
/** Each turn is a walk to the valve: a split must be worth a ten-thousandth of the week's water. */
const TURN_PART = 1e-4
const BURDEN_PART = 5e-5
const MINUTE_PART = 1e-8
/** All wished hours together weigh less than one claim that misses a litre: a wish is met where it costs nobody water. */
const WISHES_PART = 8e-4

/** What is wrong with a layout, in litres: first water not served, then water served late, then the wishes. */
export function costLitres(week: PumpWeek, layout: Layout): number {
  let cost = 0
  for (const rest of restAfter(layout)) if (rest > 0) cost += Math.max(rest, LEAST_REST_PART * week.litres)
  let turns = 0
  let minutes = 0
  let crumbs = 0
  for (const day of layout.days)
    for (const turn of day) {
      cost += ((isLate(week, turn) ? LATE_PART : 0) + DAY_PART * turn.day) * turn.litres
      minutes += turn.endMinute - turn.startMinute
      turns += 1
      if (isCrumb(week, turn)) crumbs += 1
    }
  const wishes =
    (isTailAfterHead(week, layout) ? TAIL_LAST_PART : 0) +
    TURN_PART * turns +
    CRUMB_PART * crumbs +
    BURDEN_PART * burdenCost(week, layout) +
    MINUTE_PART * minutes +
    (week.wishers > 0 ? (WISHES_PART * unmetWishes(week, layout)) / week.wishers : 0)
  return cost + wishes * week.litres
}

/** Plots that wished for hours and have no whole turn in them. */
function unmetWishes({ rows, wishers }: PumpWeek, { days }: Layout): number {
  const met = new Set<number>()
  for (const day of days) for (const turn of day) if (meetsWish(rows[turn.row]!, turn)) met.add(rows[turn.row]!.plot)
  return wishers - met.size
}

function isCrumb({ rows }: PumpWeek, { row, litres }: Placed): boolean {
  return litres < CRUMB_LITRES && litres < rows[row]!.litres
}

/** True when the turn comes after the last day before its crop suffers. */
export function isLate(week: PumpWeek, turn: Placed): boolean {
  return turn.day > week.rows[turn.row]!.lastGoodDay
}

/** The tail end is reached too late when its first turn starts after the last turn at the head has ended. */
export function isTailAfterHead({ rows, headPosition, tailPosition }: PumpWeek, { days }: Layout): boolean {
  if (headPosition === tailPosition) return false
  let headEnds = -1
  let tailStarts = -1
  for (const day of days)
    for (const turn of day) {
      const { linePosition } = rows[turn.row]!
      const dayStarts = turn.day * MINUTES_PER_DAY
      if (linePosition === headPosition) headEnds = Math.max(headEnds, dayStarts + turn.endMinute)
      if (linePosition === tailPosition && tailStarts < 0) tailStarts = dayStarts + turn.startMinute
    }
  return headEnds >= 0 && tailStarts >= headEnds
}

/** When a turn of a day is carried (minutes after midnight), and whether it is the day's last: what its burdens are told by. */
export function timeOf(week: PumpWeek, turnsOfDay: Placed[], at: number): TurnTime {
  const { day, startMinute, endMinute } = turnsOfDay[at]!
  const isLast = at > 0 && at === turnsOfDay.length - 1
  return { startMinute, endMinute, onBurdenWeekday: week.onBurdenWeekday[day]!, isLast }
}

/** A burden costs more the more often its plot has carried it: 1, 3, 5, ... so that the sum of squares stays small. */
function burdenCost(week: PumpWeek, { days }: Layout): number {
  const carried = week.carried.slice()
  let cost = 0
  for (const day of days)
    for (let at = 0; at < day.length; at++) {
      const time = timeOf(week, day, at)
      const own = week.rows[day[at]!.row]!.plot * BURDENS.length
      for (let kind = 0; kind < BURDENS.length; kind++)
        if (isBorne(BURDENS[kind]!, time)) {
          cost += 2 * carried[own + kind]! + 1
          carried[own + kind]! += 1
        }
    }
  return cost
}
