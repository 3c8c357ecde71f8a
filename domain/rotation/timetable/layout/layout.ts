import type { PumpWeek } from '../pump/pump-week.ts'
import { layOutDay, type Placed, type Plan, SKIP } from './day.ts'

/** Turns by day, and for each day (and one more) what every row still waits for when it begins. */
export interface Layout {
  days: Placed[][]
  restBefore: Float64Array[]
  /** For each day (and one more) what stands in the tank when it begins, in litres; zeros without a tank. */
  stockBefore: number[]
  /** For each day what was asked of it: its rows in their order, and of each not before when and how long at most. */
  asked: number[][]
}

/** Days whose plan was changed, and the rows for which it was. */
export interface Changed {
  fromDay: number
  toDay: number
  rows: readonly number[]
}

/** A change of some rows in the plan of the whole week. */
export function changedAllWeek({ days }: PumpWeek, rows: readonly number[]): Changed {
  return { fromDay: 0, toDay: days.length - 1, rows }
}

/**
 * Turns a plan into turns: day by day, whoever can start soonest starts, and of those the first in the day's order.
 * After a change only the days that it touches are laid out again: none before it, and none more once all rows wait for as much as
 * before and those that were changed wait for nothing. Where nothing comes out otherwise it is the same layout.
 */
export function layOut(week: PumpWeek, plan: Plan, before?: Changed & { layout: Layout }): Layout {
  const known = before?.layout ?? unlaid(week)
  let own = before ? null : known
  for (let day = before?.fromDay ?? 0; day < week.days.length; day++) {
    const { restBefore, stockBefore } = own ?? known
    const asked = askedOf(plan, day, restBefore[day]!)
    if (own || !isSame(asked, known.asked[day]!)) {
      const rest = restBefore[day]!.slice()
      const { turns, stock } = layOutDay(week, plan, day, { rest, stock: stockBefore[day]! })
      if (!own && !isSameTurns(turns, known.days[day]!)) own = copyOf(known)
      const laid = own ?? known // The same turns answer to either.
      laid.asked[day] = asked
      if (own) {
        own.days[day] = turns
        const isAsBefore = before && stock === known.stockBefore[day + 1] && isSame(rest, known.restBefore[day + 1]!)
        if (isAsBefore && isOver(before, day, rest)) break
        own.restBefore[day + 1] = rest
        own.stockBefore[day + 1] = stock
      }
    }
    if (!own && isOver(before!, day, known.restBefore[day + 1]!)) break
  }
  return own ?? known
}

function unlaid({ rows, tank }: PumpWeek): Layout {
  const rest = Float64Array.from(rows, ({ litres }) => litres)
  return { days: [], restBefore: [rest], stockBefore: [tank?.start ?? 0], asked: [] }
}

function copyOf({ days, restBefore, stockBefore, asked }: Layout): Layout {
  return {
    days: days.slice(),
    restBefore: restBefore.slice(),
    stockBefore: stockBefore.slice(),
    asked: asked.slice(),
  }
}

/** Who waits on a day, in its order; whoever waits for nothing, or has no turn on it, changes nothing in it. */
function askedOf({ order, notBefore, atMost }: Plan, day: number, rest: Float64Array): number[] {
  const asked: number[] = []
  for (const row of order[day]!) {
    const longest = atMost[day]![row]!
    if (rest[row]! > 0 && longest !== SKIP) asked.push(row, notBefore[day]![row]!, longest)
  }
  return asked
}

/** Whether a change has nothing more to say on the days after this one. */
function isOver({ toDay, rows }: Changed, day: number, rest: Float64Array): boolean {
  return day >= toDay || rows.every((row) => rest[row]! <= 0)
}

/** Litres that each row still lacks when the week's last day has been laid out. */
export function restAfter({ restBefore }: Layout): Float64Array {
  return restBefore.at(-1)!
}

function isSameTurns(a: Placed[], b: Placed[]): boolean {
  if (a.length !== b.length) return false
  for (let at = 0; at < a.length; at++) {
    const [one, other] = [a[at]!, b[at]!]
    const isAlike = one.row === other.row && one.litres === other.litres
    if (!isAlike || one.startMinute !== other.startMinute || one.endMinute !== other.endMinute) return false
  }
  return true
}

function isSame(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  if (a.length !== b.length) return false
  for (let index = 0; index < a.length; index++) if (a[index] !== b[index]) return false
  return true
}
