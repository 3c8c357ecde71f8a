import { litresToM3 } from '../units.ts'
import { turnBurdens } from './timetable-burdens.ts'
import { checkTimetableInput } from './timetable-input.ts'
import { type Layout, restAfter } from './timetable-layout.ts'
import { isLate, isTailAfterHead, timeOf } from './timetable-score.ts'
import { bestLayout } from './timetable-search.ts'
import type { PlannedTurn, TimetableInput, TimetableNote, TimetableResult, UnplacedVolume } from './timetable-types.ts'
import { unplacedReason } from './timetable-unplaced.ts'
import { compareText, type PumpWeek, pumpWeeks } from './timetable-week.ts'

/** How many minutes of plans are looked at for a whole group, and at least for each pump. */
const MINUTES_TRIED = 4e7
const LEAST_TRIES = 200
/** More than this for each claim and day changes nothing more. */
const TRIES_A_CHOICE = 400

/**
 * The week's turns by volume under each pump's hour-by-hour flow. The flow of a turn is the smaller of its outlet's flow and what
 * the turns before it on the day's list leave of the pump's; a turn is one stretch of a day, and what does not fit is
 * given on another day or named as unplaced. Volumes are whole litres; a claim's turns and its unplaced water sum to its volume.
 */
export function timetable(input: TimetableInput): TimetableResult {
  checkTimetableInput(input)
  const weeks = pumpWeeks(input)
  const parts = weeks.map((week) => {
    const layout = bestLayout(week, triesFor(week, weeks.length))
    return { turns: turnsOf(week, layout), unplacedM3: unplacedOf(week, layout), notes: notesOf(week, layout) }
  })
  return {
    turns: parts.flatMap(({ turns }) => turns).sort(byTime),
    unplacedM3: parts
      .flatMap(({ unplacedM3 }) => unplacedM3)
      .sort((a, b) => compareText(a.claimId, b.claimId) || compareText(a.outletId, b.outletId)),
    notes: parts.flatMap(({ notes }) => notes),
  }
}

/** The same for the same week on every machine: a count of work, never a clock. */
function triesFor(week: PumpWeek, pumps: number): number {
  const minutesATry = week.days.length * (600 + 60 * week.rows.length)
  const tries = Math.max(LEAST_TRIES, Math.round(MINUTES_TRIED / pumps / minutesATry))
  return Math.min(tries, TRIES_A_CHOICE * week.rows.length * week.days.length)
}

function turnsOf(week: PumpWeek, { days }: Layout): PlannedTurn[] {
  return days.flatMap((turnsOfDay, day) =>
    turnsOfDay.map((turn, at) => {
      const { claimId, plotId, outletId } = week.rows[turn.row]!.allocation
      return {
        id: turnId(week, turn),
        claimId,
        plotId,
        outletId,
        pumpId: week.pumpId,
        on: week.days[day]!,
        order: turn.order + 1,
        startMinute: turn.startMinute,
        endMinute: turn.endMinute,
        volumeM3: litresToM3(turn.litres),
        hours: (turn.endMinute - turn.startMinute) / 60,
        burdens: turnBurdens(timeOf(week, turnsOfDay, at)),
      }
    }),
  )
}

function turnId({ rows, days }: PumpWeek, { row, day }: { row: number; day: number }): string {
  const { claimId, outletId } = rows[row]!.allocation
  return `${claimId}/${outletId}/${days[day]}`
}

function unplacedOf(week: PumpWeek, layout: Layout): UnplacedVolume[] {
  const rest = restAfter(layout)
  return week.rows.flatMap((row, index) => {
    const litres = rest[index]!
    const { claimId, outletId } = row.allocation
    return litres > 0 ? [{ claimId, outletId, volumeM3: litresToM3(litres), reason: unplacedReason(week, row) }] : []
  })
}

function notesOf(week: PumpWeek, layout: Layout): TimetableNote[] {
  const late = layout.days.flat().filter((turn) => isLate(week, turn))
  const notes: TimetableNote[] = late.map((turn) => ({ code: 'after-latest-day', turnId: turnId(week, turn) }))
  if (isTailAfterHead(week, layout)) notes.push({ code: 'tail-after-head', pumpId: week.pumpId })
  return notes
}

function byTime(a: PlannedTurn, b: PlannedTurn): number {
  return (
    compareText(a.on, b.on) || a.startMinute - b.startMinute || compareText(a.pumpId, b.pumpId) || a.order - b.order
  )
}
