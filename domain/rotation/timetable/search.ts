import { isByList, listLayout, plainPlan } from './first-plan.ts'
import { type Placed, type Plan, SKIP } from './layout/day.ts'
import { changedAllWeek, type Layout, layOut, restAfter } from './layout/layout.ts'
import { change, exchange } from './moves.ts'
import type { PumpWeek } from './pump/pump-week.ts'
import { costLitres } from './score.ts'
import { moveToWish, wishesOf } from './wishes.ts'

/** Temperatures as parts of the week's water: from about one turn down to less than any wish. */
const HOT_PART = 3e-3
const COLD_PART = 2e-6
/** Where the plain order already serves everything, only the wishes are left to weigh. */
const WISHES_HOT_PART = 1e-4
const EVENING_ROUNDS = 3
/** Claims at one outlet are alike when their volumes differ by no more than this. */
const LIKE_PART = 0.15

/**
 * Looks for the layout that serves most. It starts from the plain order (latest day before stress, then tail before head)
 * and changes the plan one step at a time by simulated annealing (Kirkpatrick, Gelatt and Vecchi 1983) with its own fixed
 * sequence of random numbers, so that the same week always gets the same timetable. The best layout met is kept. A pump that
 * goes by list is laid in the list's order instead.
 */
export function bestLayout(week: PumpWeek, tries: number): Layout {
  if (isByList(week)) return listLayout(week)
  const plan = plainPlan(week)
  const random = randomNumbers(1)
  let layout = layOut(week, plan)
  let cost = costLitres(week, layout)
  let best = { layout, cost, plan: copyOf(plan) }
  const isServed = restAfter(layout).every((litres) => litres === 0)
  const hot = (isServed ? WISHES_HOT_PART : HOT_PART) * week.litres
  for (let at = 0; at < tries; at++) {
    const { changed, undo } = change(week, plan, layout, random)
    const tried = layOut(week, plan, { layout, ...changed })
    const chance = random()
    if (tried === layout) continue // What costs no more is always taken.
    const triedCost = costLitres(week, tried)
    const temperature = hot * ((COLD_PART * week.litres) / hot) ** (at / tries)
    if (triedCost > cost - temperature * Math.log(chance)) {
      undo()
      continue
    }
    layout = tried
    cost = triedCost
    if (cost < best.cost) best = { layout, cost, plan: copyOf(plan) }
  }
  const found = gathered(week, wishesTried(week, best))
  return evened(week, week.tank ? prompt(week, found) : found)
}

interface Best {
  layout: Layout
  cost: number
  plan: Plan
}

/** Each wish that is still unmet is tried once more: it stands where that costs less, and so nobody's water. */
function wishesTried(week: PumpWeek, found: Best): Best {
  let best = found
  for (const wish of wishesOf(week)) {
    const plan = copyOf(best.plan)
    moveToWish(plan, wish)
    const layout = layOut(week, plan, { layout: best.layout, ...changedAllWeek(week, [wish.row]) })
    const cost = costLitres(week, layout)
    if (cost < best.cost) best = { layout, cost, plan }
  }
  return best
}

/** Takes a split claim's turns together as long as that costs no more: nobody walks to the valve twice for a bucket. */
function gathered(week: PumpWeek, found: Best): Best {
  let best = found
  for (const { row, day } of splitTurns(found.layout)) {
    const plan = copyOf(best.plan)
    plan.atMost[day]![row] = SKIP
    for (const atMost of plan.atMost) if (atMost[row] !== SKIP) atMost[row] = 0
    const layout = layOut(week, plan, { layout: best.layout, ...changedAllWeek(week, [row]) })
    const cost = costLitres(week, layout)
    if (cost < best.cost) best = { layout, cost, plan }
  }
  return best
}

/** A gravity turn waits for no better sun: it begins as soon as its tank and its hours allow, where that costs no more. */
function prompt(week: PumpWeek, found: Best): Best {
  let best = found
  for (const { row, day, startMinute } of found.layout.days.flat()) {
    const openUntil = week.rows[row]!.openUntil[day]!
    const opensAt = openUntil.indexOf(openUntil[startMinute]!)
    if (best.plan.notBefore[day]![row]! <= opensAt) continue
    const plan = copyOf(best.plan)
    plan.notBefore[day]![row] = opensAt
    const layout = layOut(week, plan, { layout: best.layout, fromDay: day, toDay: day, rows: [row] })
    const cost = costLitres(week, layout)
    if (cost <= best.cost) best = { layout, cost, plan }
  }
  return best
}

/** The turns of claims that have several, the smallest first. */
function splitTurns({ days }: Layout): Placed[] {
  const turns = days.flat()
  const isSplit = ({ row }: Placed) => turns.filter((turn) => turn.row === row).length > 1
  return turns.filter(isSplit).sort((a, b) => a.litres - b.litres || a.day - b.day || a.row - b.row)
}

/** Lets like claims at one outlet change places as long as that helps: they share burdens at no loss of water. */
function evened(week: PumpWeek, { layout, cost, plan }: Best): Layout {
  let best = { layout, cost }
  for (let round = 0, isBetter = true; isBetter && round < EVENING_ROUNDS; round++) {
    isBetter = false
    for (const [row, other] of likeClaims(week)) {
      const undo = exchange(plan, row, other)
      const tried = layOut(week, plan, { layout: best.layout, ...changedAllWeek(week, [row, other]) })
      const triedCost = costLitres(week, tried)
      if (triedCost >= best.cost) undo()
      else {
        best = { layout: tried, cost: triedCost }
        isBetter = true
      }
    }
  }
  return best.layout
}

function likeClaims({ rows }: PumpWeek): [number, number][] {
  return rows.flatMap((row, index) =>
    rows.flatMap((other, at): [number, number][] => {
      const isLike = other.outlet === row.outlet && Math.abs(other.litres - row.litres) <= LIKE_PART * row.litres
      return at > index && isLike ? [[index, at]] : []
    }),
  )
}

function copyOf({ order, notBefore, atMost }: Plan): Plan {
  const copies = (days: Int16Array[]) => days.map((values) => values.slice())
  return { order: copies(order), notBefore: copies(notBefore), atMost: copies(atMost) }
}

/** Numbers from 0 up to 1, the same for the same seed: a 32-bit linear congruential step, its high bits mixed down. */
function randomNumbers(seed: number): () => number {
  let state = seed
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0
    const mixed = Math.imul(state ^ (state >>> 15), 2246822519)
    return ((mixed ^ (mixed >>> 13)) >>> 0) / 2 ** 32
  }
}
