import { addDays, type CalendarDate } from '../calendar.ts'

export const PAUSE_CAUSES = ['pump', 'funeral', 'rest', 'other'] as const
export type PauseCause = (typeof PAUSE_CAUSES)[number]

/** Days on which the list stands still; without an end it stands until somebody writes one. */
export interface ListPause {
  fromOn: CalendarDate
  untilOn: CalendarDate | null
  cause: PauseCause
  words: string | null
}

interface TurnListInput {
  /** The list as it was agreed. */
  names: readonly string[]
  perDay: number
  /** Who has had the turn since the list began, first to last. */
  served: readonly { name: string; on: CalendarDate }[]
  pauses: readonly ListPause[]
  fromOn: CalendarDate
  days: number
}

interface TurnListDay {
  on: CalendarDate
  names: string[]
  pause: ListPause | null
}

/**
 * Turns by list. Whoever was served goes to the end; the list moves by names and never by dates, so a stopped pump, a funeral
 * or a rest day pauses it and it resumes at the next name. Whoever swapped a place loses nothing: those who were passed over
 * stay in front. Common practice, no source.
 */
export function turnList(input: TurnListInput): { order: string[]; days: TurnListDay[] } {
  const order = orderAfter(input)
  const queue = [...order]
  const days: TurnListDay[] = []
  for (let day = 0; day < input.days; day++) {
    const on = addDays(input.fromOn, day)
    const pause = pauseOn(input.pauses, on)
    const servedToday = input.served.filter((one) => one.on === on).length
    const free = pause ? 0 : Math.max(0, Math.min(input.perDay - servedToday, queue.length))
    const names = queue.splice(0, free)
    queue.push(...names)
    days.push({ on, names, pause })
  }
  return { order, days }
}

/** Who is next, and who after that. */
function orderAfter({ names, served }: TurnListInput): string[] {
  const queue = [...names]
  for (const { name } of served) {
    const at = queue.indexOf(name)
    if (at >= 0) queue.push(...queue.splice(at, 1))
  }
  return queue
}

/** The pause that a day falls into; null where the list goes on. */
export function pauseOn(pauses: readonly ListPause[], on: CalendarDate): ListPause | null {
  return pauses.find((pause) => pause.fromOn <= on && on <= (pause.untilOn ?? on)) ?? null
}
