import { type Plan, SKIP } from './layout/day.ts'
import { type Changed, changedAllWeek, type Layout } from './layout/layout.ts'
import type { PumpWeek } from './pump/pump-week.ts'
import { moveToWish, someWish } from './wishes.ts'

/** Where somebody wished for hours, so many steps of the search try a wish. */
const WISH_STEPS = 0.1

/** Makes one random change and returns what it touches, and how to take it back. How often which kind is tried is ours. */
export function change(
  week: PumpWeek,
  plan: Plan,
  { days }: Layout,
  random: () => number,
): { changed: Changed; undo: () => void } {
  const below = (limit: number) => Math.floor(random() * limit)
  if (week.wishers > 0 && random() < WISH_STEPS) {
    const wish = someWish(week, below)
    return { changed: changedAllWeek(week, [wish.row]), undo: moveToWish(plan, wish) }
  }
  const [one, other] = [below(week.rows.length), below(week.rows.length)]
  if (random() < 0.1) return { changed: changedAllWeek(week, [one, other]), undo: exchange(plan, one, other) }
  const day = below(week.days.length)
  const turns = days[day]!
  const row = turns.length > 0 && random() < 0.7 ? turns[below(turns.length)]!.row : below(week.rows.length)
  return { changed: { fromDay: day, toDay: day, rows: [row] }, undo: changeRow(week, plan, day, row, random) }
}

function changeRow(week: PumpWeek, plan: Plan, day: number, row: number, random: () => number): () => void {
  const below = (limit: number) => Math.floor(random() * limit)
  const kind = random()
  if (kind < 0.3) return moveInOrder(plan.order[day]!, row, below(Math.min(week.rows.length, 12)))
  if (kind < 0.6) return swapInOrder(plan.order[day]!, row, below(week.rows.length))
  if (kind < 0.8) return setAt(plan.atMost[day]!, row, someLength(week, random))
  return setAt(plan.notBefore[day]!, row, someStart(week, day, random))
}

/** Two rows change places in the whole week's plan. */
export function exchange(plan: Plan, row: number, other: number): () => void {
  const exchangeAll = () => {
    for (const order of plan.order) swapInOrder(order, row, other)
    for (const values of [...plan.notBefore, ...plan.atMost]) {
      const kept = values[row]!
      values[row] = values[other]!
      values[other] = kept
    }
  }
  exchangeAll()
  return exchangeAll
}

function moveInOrder(order: Int16Array, row: number, to: number): () => void {
  const before = order.slice()
  const from = order.indexOf(row)
  if (from < to) order.copyWithin(from, from + 1, to + 1)
  else order.copyWithin(to + 1, to, from)
  order[to] = row
  return () => order.set(before)
}

function swapInOrder(order: Int16Array, row: number, other: number): () => void {
  const [i, j] = [order.indexOf(row), order.indexOf(other)]
  order[i] = other
  order[j] = row
  return () => {
    order[i] = row
    order[j] = other
  }
}

function setAt(values: Int16Array, row: number, value: number): () => void {
  const before = values[row]!
  values[row] = value
  return () => {
    values[row] = before
  }
}

function someLength({ rules }: PumpWeek, random: () => number): number {
  const kind = random()
  if (kind < 0.3) return 0
  if (kind < 0.5) return SKIP
  return rules.minTurnMinutes + rules.gridMinutes * Math.floor((random() * 360) / rules.gridMinutes)
}

function someStart({ rules, supply }: PumpWeek, day: number, random: () => number): number {
  if (random() < 0.4) return 0
  const { first, last } = supply.flowing[day]!
  return Math.max(0, first + rules.gridMinutes * Math.floor((random() * (last - first)) / rules.gridMinutes))
}
