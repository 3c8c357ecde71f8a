import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { type Litres, MINUTES_PER_DAY } from '../../units.ts'
import type { ClosedHours, TimetableAllocation, TimetableInput, TimetableRules } from './types.ts'

/** The open stretches of each day; most rows are closed at the same hours, and share one. */
export function openDaysByHours(
  { unavailable, week }: TimetableInput,
  { pumpId, flow }: { pumpId: Id<'pump'>; flow: Float64Array[] },
): (allocation: TimetableAllocation, atFirst: number) => Int16Array[] {
  const ofPump = unavailable.filter((each) => (each.pumpId ?? pumpId) === pumpId)
  const pumpClosed = ofPump.filter(({ outletId }) => outletId === undefined)
  const known = new Map<string, Int16Array[]>()
  return ({ outletId, canNot = [] }, atFirst) => {
    const alsoClosed = [...ofPump.filter((each) => each.outletId === outletId), ...canNot]
    const key = JSON.stringify([atFirst, alsoClosed])
    const open =
      known.get(key) ?? week.days.map((day, at) => openStretches({ pumpClosed, alsoClosed, day, atFirst }, flow[at]!))
    known.set(key, open)
    return open
  }
}

/**
 * Per minute of a day the minute at which the open stretch around it ends, 0 where closed. A minute is open when the pump gives water, the
 * line has filled in the minutes since it started (`atFirst`), and neither the pump, the outlet nor the holder is closed.
 */
function openStretches(
  {
    pumpClosed,
    alsoClosed,
    day,
    atFirst,
  }: { pumpClosed: readonly ClosedHours[]; alsoClosed: readonly ClosedHours[]; day: CalendarDate; atFirst: number },
  flow: Float64Array,
): Int16Array {
  const open = new Uint8Array(MINUTES_PER_DAY)
  for (let minute = 0; minute < MINUTES_PER_DAY; minute++) open[minute] = flow[minute]! > 0 ? 1 : 0
  close(open, pumpClosed, day)
  const pumpStarts = open.indexOf(1)
  if (pumpStarts >= 0) open.fill(0, pumpStarts, pumpStarts + atFirst)
  close(open, alsoClosed, day)
  const until = new Int16Array(MINUTES_PER_DAY)
  let end = 0
  for (let minute = MINUTES_PER_DAY - 1; minute >= 0; minute--) {
    end = open[minute] ? end || minute + 1 : 0
    until[minute] = end
  }
  return until
}

function close(open: Uint8Array, closures: readonly ClosedHours[], day: CalendarDate): void {
  for (const { on, fromHour = 0, toHour = 24 } of closures)
    if ((on ?? day) === day) open.fill(0, Math.floor(fromHour * 60 + 1e-9), Math.ceil(toHour * 60 - 1e-9))
}

/** Per minute the next start on the grid that leaves room for the shortest turn; MINUTES_PER_DAY for none. */
export function startsOnGrid(
  openUntil: Int16Array,
  { gridMinutes, minTurnMinutes }: Required<TimetableRules>,
): Int16Array {
  const starts = new Int16Array(MINUTES_PER_DAY + 1).fill(MINUTES_PER_DAY)
  for (let minute = MINUTES_PER_DAY - 1; minute >= 0; minute--) {
    const fits = minute % gridMinutes === 0 && openUntil[minute]! - minute >= minTurnMinutes
    starts[minute] = fits ? minute : starts[minute + 1]!
  }
  return starts
}

/** Of a day of the week, in minutes after midnight. */
export interface WishedStretch {
  day: number
  fromMinute: number
  toMinute: number
}

/** The wished hours of an allocation by the days of the week, in whole minutes. */
export function wishedStretches({ wished = [] }: TimetableAllocation, days: readonly CalendarDate[]): WishedStretch[] {
  return wished.flatMap(({ on, fromHour = 0, toHour = 24 }) =>
    days.flatMap((each, day) =>
      (on ?? each) === each
        ? [{ day, fromMinute: Math.ceil(fromHour * 60 - 1e-9), toMinute: Math.floor(toHour * 60 + 1e-9) }]
        : [],
    ),
  )
}

/** Turns below this are not made smaller still for the sake of the days between them. Common practice, no source. */
const SMALLEST_PART_LITRES = 500

/** An allocation as one row, or as one for each of its turns, each open in a stretch of the week of its own with days between. */
export function turnsApart(
  { spaced, listPlace }: TimetableAllocation,
  litres: Litres,
  openUntil: Int16Array[],
): { litres: Litres; openUntil: Int16Array[] }[] {
  if ((spaced?.turns ?? 1) < 2 || listPlace !== undefined) return [{ litres, openUntil }]
  const openDays = openUntil.flatMap((until, day) => (until.some((minute) => minute > 0) ? [day] : []))
  const turns = Math.min(spaced?.turns ?? 1, openDays.length)
  const firstLitres = Math.round(litres * (spaced?.firstPart ?? 1))
  const laterLitres = Math.floor((litres - firstLitres) / Math.max(1, turns - 1))
  const isWorthIt = Math.min(firstLitres, laterLitres) >= SMALLEST_PART_LITRES
  if (turns < 2 || !isWorthIt) return [{ litres, openUntil }]
  const stretch = openDays.length / turns
  return Array.from({ length: turns }, (_, turn) => {
    const from = Math.floor(turn * stretch)
    const own = openDays.slice(from, from + Math.max(1, Math.floor(stretch) - 1))
    return {
      litres: turn === 0 ? litres - laterLitres * (turns - 1) : laterLitres,
      openUntil: openUntil.map((until, day) => (own.includes(day) ? until : new Int16Array(MINUTES_PER_DAY))),
    }
  })
}
