import { sum } from '../../sum.ts'
import { type Placed, type Plan, SKIP } from './layout/day.ts'
import { type Layout, layOut, restAfter } from './layout/layout.ts'
import type { PumpWeek, Row } from './pump/pump-week.ts'

/** A day's last turn of less than this part of its claim waits for the next day with those after it. Common practice, no source. */
const WORTH_THE_WALK = 0.2

/** A pump whose turns go name by name; names that are not on its list come after all that are. */
export function isByList({ rows }: PumpWeek): boolean {
  return rows.some(({ listPlace }) => listPlace !== null)
}

/**
 * The week laid in the order of the list: the next name takes its water, then the one after it, from day to day. How many
 * a day brings follows from the flow; a day that gives nothing passes nobody over. Where a day ends on a turn that would
 * hardly begin, the list stops for that day, as long as that costs no water.
 */
export function listLayout(week: PumpWeek): Layout {
  const plan = listPlan(week)
  let layout = layOut(week, plan)
  for (let day = 0; day < week.days.length - 1; day++) {
    const begun = layout.days[day]!.at(-1)
    if (!begun || !isHardlyBegun(week, layout, begun)) continue
    const stopped = { ...plan, atMost: plan.atMost.map((values) => values.slice()) }
    const order = plan.order[day]!
    for (const row of order.slice(order.indexOf(begun.row))) stopped.atMost[day]![row] = SKIP
    const tried = layOut(week, stopped)
    if (sum(restAfter(tried)) > sum(restAfter(layout))) continue
    plan.atMost = stopped.atMost
    layout = tried
  }
  return layout
}

function listPlan({ rows, days }: PumpWeek): Plan {
  const place = (row: number) => rows[row]!.listPlace ?? Number.POSITIVE_INFINITY
  const order = Int16Array.from(rows.keys()).sort((a, b) => place(a) - place(b) || a - b)
  return planInOrder(days.length, order)
}

function isHardlyBegun({ rows }: PumpWeek, { days }: Layout, { row, day, litres }: Placed): boolean {
  const isFirst = !days.slice(0, day).some((turns) => turns.some((turn) => turn.row === row))
  const goesOn = days.slice(day + 1).some((turns) => turns.some((turn) => turn.row === row))
  return isFirst && goesOn && litres < WORTH_THE_WALK * rows[row]!.litres
}

/** The plain order: the latest day before stress first, then the tail before the head. */
export function plainPlan({ rows, days }: PumpWeek): Plan {
  const order = Int16Array.from(
    rows
      .map((row, index) => ({ row, index }))
      .sort((a, b) => urgency(a.row, b.row) || a.index - b.index)
      .map(({ index }) => index),
  )
  return planInOrder(days.length, order)
}

function urgency(a: Row, b: Row): number {
  return a.lastGoodDay - b.lastGoodDay || b.linePosition - a.linePosition
}

function planInOrder(days: number, order: Int16Array): Plan {
  const daily = (of: () => Int16Array) => Array.from({ length: days }, of)
  const none = () => new Int16Array(order.length)
  return { order: daily(() => order.slice()), notBefore: daily(none), atMost: daily(none) }
}
