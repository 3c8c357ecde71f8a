import { ascending } from 'd3-array'
import type { CalendarDate } from '../calendar.ts'
import type { Id } from '../id.ts'

export const WEIR_PARTS = ['wall', 'wings', 'apron', 'spillway', 'gabions', 'chamber', 'silt-cap'] as const
export type WeirPart = (typeof WEIR_PARTS)[number]

export const PART_STATES = ['sound', 'watch', 'repair', 'danger'] as const
export type PartState = (typeof PART_STATES)[number]

export interface Inspected {
  weirId: Id<'weir'>
  part: WeirPart
  seenOn: CalendarDate
  state: PartState
  nextOn: CalendarDate | null
  seq: number
}

/** The last look at each part of each weir, in the order of the list. */
export function lastInspections<I extends Inspected>(inspections: readonly I[]): I[] {
  const last = new Map<string, I>()
  for (const one of inspections) {
    const key = `${one.weirId} ${one.part}`
    const known = last.get(key)
    if (!known || one.seenOn > known.seenOn || (one.seenOn === known.seenOn && one.seq > known.seq)) last.set(key, one)
  }
  return [...last.values()]
}

/** Of the last looks, those whose next day is past and those that found danger; the longest due first. */
export function dueInspections<I extends Inspected>({
  inspections,
  today,
}: {
  inspections: readonly I[]
  today: CalendarDate
}): { overdue: I[]; danger: I[] } {
  const last = lastInspections(inspections)
  const overdue = last.filter(({ nextOn }) => nextOn !== null && nextOn < today)
  overdue.sort((a, b) => ascending(a.nextOn!, b.nextOn!))
  return { overdue, danger: last.filter(({ state }) => state === 'danger') }
}
