import { turnBurdens } from './timetable-burdens.ts'
import type { Layout, Placed } from './timetable-layout.ts'
import type { Burden } from './timetable-types.ts'
import type { PumpWeek } from './timetable-week.ts'

/** A litre after the crop's latest day counts as this part of a litre not served. */
const LATE_PART = 0.1
/** As parts of the week's water: small enough that no wish costs the group more than a few litres. */
const TAIL_LAST_PART = 1e-4
const TURN_PART = 2e-5
const BURDEN_PART = 5e-6
const MINUTE_PART = 1e-8

/** What is wrong with a layout, in litres: first water not served, then water served late, then the wishes. */
export function costLitres(week: PumpWeek, layout: Layout): number {
  let cost = 0
  for (const rest of layout.restLitres) cost += rest
  let minutes = 0
  for (const turn of layout.placed) {
    if (isLate(week, turn)) cost += LATE_PART * turn.litres
    minutes += turn.endMinute - turn.startMinute
  }
  const wishes =
    (isTailAfterHead(week, layout.placed) ? TAIL_LAST_PART : 0) +
    TURN_PART * layout.placed.length +
    BURDEN_PART * burdenCost(week, layout.placed) +
    MINUTE_PART * minutes
  return cost + wishes * week.litres
}

export function isLate(week: PumpWeek, turn: Placed): boolean {
  return turn.day > week.rows[turn.row]!.lastGoodDay
}

/** The tail end is reached too late when its first turn starts after the last turn at the head has ended. */
export function isTailAfterHead({ rows, headPosition, tailPosition }: PumpWeek, placed: Placed[]): boolean {
  if (headPosition === tailPosition) return false
  let headEnds = -1
  let tailStarts = Infinity
  for (const { row, day, startMinute, endMinute } of placed) {
    const { linePosition } = rows[row]!
    if (linePosition === headPosition) headEnds = Math.max(headEnds, day * 1440 + endMinute)
    if (linePosition === tailPosition) tailStarts = Math.min(tailStarts, day * 1440 + startMinute)
  }
  return headEnds >= 0 && tailStarts < Infinity && tailStarts >= headEnds
}

export function burdensOf(week: PumpWeek, placed: Placed[]): Burden[][] {
  return placed.map((turn, index) =>
    turnBurdens({
      startMinute: turn.startMinute,
      endMinute: turn.endMinute,
      onBurdenWeekday: week.onBurdenWeekday[turn.day]!,
      isLast: turn.order > 0 && placed[index + 1]?.day !== turn.day,
    }),
  )
}

/** A burden costs more the more often its plot has carried it: 1, 3, 5, ... so that the sum of squares stays small. */
function burdenCost(week: PumpWeek, placed: Placed[]): number {
  const carried = week.history.map((counts) => ({ ...counts }))
  let cost = 0
  burdensOf(week, placed).forEach((burdens, index) => {
    const own = carried[week.rows[placed[index]!.row]!.plot]!
    for (const burden of burdens) {
      const before = own[burden] ?? 0
      cost += 2 * before + 1
      own[burden] = before + 1
    }
  })
  return cost
}
