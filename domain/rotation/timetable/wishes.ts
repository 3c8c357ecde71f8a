import { type Placed, type Plan, SKIP } from './layout/day.ts'
import type { WishedStretch } from './open-hours.ts'
import type { PumpWeek, Row } from './pump/pump-week.ts'

/** A row and one stretch in which its holder wished for a turn. */
interface Wish {
  row: number
  stretch: WishedStretch
}

/** Every stretch that some row's holder wished for. */
export function wishesOf({ rows }: PumpWeek): Wish[] {
  return rows.flatMap(({ wished }, row) => wished.map((stretch) => ({ row, stretch })))
}

/** One of them, by the search's own sequence of numbers. */
export function someWish(week: PumpWeek, below: (limit: number) => number): Wish {
  const wishes = wishesOf(week)
  return wishes[below(wishes.length)]!
}

/** Whether the whole turn lies in hours that its holder wished for. */
export function meetsWish({ wished }: Row, { day, startMinute, endMinute }: Placed): boolean {
  return wished.some((each) => each.day === day && startMinute >= each.fromMinute && endMinute <= each.toMinute)
}

/** All of a row's water on the wished day, not before the wished hour; gives back how to undo it. */
export function moveToWish({ atMost, notBefore }: Plan, { row, stretch }: Wish): () => void {
  const lengths = atMost.map((values) => values[row]!)
  const starts = notBefore[stretch.day]!
  const start = starts[row]!
  atMost.forEach((values, day) => {
    values[row] = day === stretch.day ? 0 : SKIP
  })
  starts[row] = stretch.fromMinute
  return () => {
    starts[row] = start
    atMost.forEach((values, day) => {
      values[row] = lengths[day]!
    })
  }
}
