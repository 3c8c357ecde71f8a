import { type CalendarDate, weekdayOf } from '../../calendar.ts'
import type { Id } from '../../id.ts'

/** Hours of a weekday, or of every day, that somebody wished a turn in. */
export interface WishedHours {
  plotId: Id<'plot'>
  weekday: number | null
  /** A day of the market week, as the date on which it fell. */
  on?: CalendarDate
  fromHour: number
  toHour: number
}

interface CarriedTurn {
  plotId: Id<'plot'>
  on: CalendarDate
  startMinute: number
  endMinute: number
}

/**
 * How many plots that wished for an hour had a turn in the week, and for how many all of a turn lay in wished hours. A plot
 * that had no turn says nothing of its wish. Common practice, no source.
 */
export function wishesMet({ wishes, turns }: { wishes: readonly WishedHours[]; turns: readonly CarriedTurn[] }): {
  wished: number
  met: number
} {
  const plotIds = [...new Set(wishes.map((wish) => wish.plotId))].filter((id) =>
    turns.some((turn) => turn.plotId === id),
  )
  const isMet = (plotId: Id<'plot'>) =>
    turns.some((turn) => turn.plotId === plotId && wishes.some((wish) => wish.plotId === plotId && holds(wish, turn)))
  return { wished: plotIds.length, met: plotIds.filter(isMet).length }
}

/** Whether all of a turn lies in wished hours. */
export function holds(
  wish: Omit<WishedHours, 'plotId'>,
  { on, startMinute, endMinute }: Omit<CarriedTurn, 'plotId'>,
): boolean {
  const { weekday, fromHour, toHour } = wish
  const isThatDay = wish.on !== undefined ? wish.on === on : weekday === null || weekdayOf(on) === weekday
  return isThatDay && startMinute >= Math.round(fromHour * 60) && endMinute <= Math.round(toHour * 60)
}
