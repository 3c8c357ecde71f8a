import { type Litres, MINUTES_PER_DAY } from '../../../units.ts'

/** What a source gives on each day of a week, as the search asks for it again and again. */
export interface Supply {
  /** Per day and minute, litres per minute. */
  flow: Float64Array[]
  /** Per day the first and the last minute in which water comes; -1 where none does. */
  flowing: { first: number; last: number }[]
  /** Per day and minute: the next one in which nothing is left to draw; MINUTES_PER_DAY for none. */
  dryFrom: Int16Array[]
  /** What an outlet that is open alone has drawn on a day until each minute, by what it carries in litres per minute. */
  drawnAlone(day: number, litresPerMinute: number): Float64Array
}

export const LITRES_PER_MINUTE_OF_M3_PER_H = 1000 / 60

/** A pump's flow in litres a minute, minute by minute, from its m3/h hour by hour. */
export function flowByMinute(flowM3PerHByHour: number[] = []): Float64Array {
  const flow = new Float64Array(MINUTES_PER_DAY)
  for (const [hour, m3PerH] of flowM3PerHByHour.entries())
    flow.fill(m3PerH * LITRES_PER_MINUTE_OF_M3_PER_H, hour * 60, (hour + 1) * 60)
  return flow
}

/** Less than this is no water: what is left of a flow that was shared out. */
export const DRY_LITRES_PER_MINUTE = 1e-9

/** The same flow, with what the search asks of it worked out once. */
export function supplyOf(flow: Float64Array[]): Supply {
  const drawn = flow.map(() => new Map<number, Float64Array>())
  return {
    flow,
    flowing: flow.map((ofDay) => ({
      first: ofDay.findIndex((litres) => litres > 0),
      last: ofDay.findLastIndex((litres) => litres > 0),
    })),
    dryFrom: flow.map(nextDry),
    drawnAlone: (day, litresPerMinute) => {
      const known = drawn[day]!.get(litresPerMinute) ?? drawnUntil(flow[day]!, litresPerMinute)
      drawn[day]!.set(litresPerMinute, known)
      return known
    },
  }
}

function nextDry(flow: Float64Array): Int16Array {
  const next = new Int16Array(MINUTES_PER_DAY + 1).fill(MINUTES_PER_DAY)
  for (let minute = MINUTES_PER_DAY - 1; minute >= 0; minute--)
    next[minute] = flow[minute]! <= DRY_LITRES_PER_MINUTE ? minute : next[minute + 1]!
  return next
}

function drawnUntil(flow: Float64Array, litresPerMinute: number): Float64Array {
  const drawn = new Float64Array(MINUTES_PER_DAY + 1)
  for (let minute = 0; minute < MINUTES_PER_DAY; minute++)
    drawn[minute + 1] = drawn[minute]! + Math.min(flow[minute]!, litresPerMinute)
  return drawn
}

/** When a turn begins, the earliest and the latest minute in which it may end, and the litres that it wants. */
interface TurnHours {
  startMinute: number
  shortestEnd: number
  lastEnd: number
  wanted: Litres
}

/** The end of a turn that nobody draws beside, and what it was given: at `shortestEnd` at the earliest, at `lastEnd` at the latest. */
export function turnAlone(
  supply: Supply,
  { day, litresPerMinute }: { day: number; litresPerMinute: number },
  { startMinute, shortestEnd, lastEnd, wanted }: TurnHours,
): { endMinute: number; given: Litres } {
  const drawn = supply.drawnAlone(day, litresPerMinute)
  const before = drawn[startMinute]!
  let endMinute = Math.min(shortestEnd, lastEnd)
  for (let latest = Math.min(lastEnd, supply.dryFrom[day]![endMinute]!); endMinute < latest; ) {
    const middle = (endMinute + latest) >> 1
    if (drawn[middle]! - before >= wanted) latest = middle
    else endMinute = middle + 1
  }
  return { endMinute, given: drawn[endMinute]! - before }
}

/** The end of a turn and what it was given where others may draw in the same minutes: what it draws is taken from the flow. */
export function turnBeside(
  flow: Float64Array,
  litresPerMinute: number,
  { startMinute, shortestEnd, lastEnd, wanted }: TurnHours,
): { endMinute: number; given: Litres } {
  let given = 0
  let minute = startMinute
  for (; minute < lastEnd; minute++) {
    const left = flow[minute]!
    if (minute >= shortestEnd && (given >= wanted || left <= DRY_LITRES_PER_MINUTE)) break
    const drawn = Math.min(left, litresPerMinute)
    given += drawn
    flow[minute] = left - drawn
  }
  return { endMinute: minute, given }
}
