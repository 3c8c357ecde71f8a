import { isByList, listLayout, plainPlan } from './first-plan.ts'
import { type Changed, changedAllWeek, type Layout, layOut, type Placed, type Plan, restAfter, SKIP } from './layout.ts'
import type { PumpWeek } from './pump-week.ts'
import { costLitres } from './score.ts'
import { moveToWish, someWish, wishesOf } from './wishes.ts'

/** Temperatures as parts of the week's water: from about one turn down to less than any wish. */
const HOT_PART = 3e-3
const COLD_PART = 2e-6
/** Where the plain order already serves everything, only the wishes are left to weigh. */
const WISHES_HOT_PART = 1e-4
const EVENING_ROUNDS = 3
/** Where somebody wished for hours, so many steps of the search try a wish. */
const WISH_STEPS = 0.1
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
    const temperature = hot * ((COLD_PART * week.litres) / hot) ** (at / tries)
    const { changed, undo } = change(week, plan, layout, random)
    const tried = layOut(week, plan, { layout, ...changed })
    const triedCost = costLitres(week, tried)
    if (triedCost > cost - temperature * Math.log(random() + 1e-300)) {
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

/** Makes one random change and returns what it touches, and how to take it back. */
function change(
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
function exchange(plan: Plan, row: number, other: number): () => void {
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

function someStart({ rules, flow }: PumpWeek, day: number, random: () => number): number {
  if (random() < 0.4) return 0
  const first = flow[day]!.findIndex((litres) => litres > 0)
  const last = flow[day]!.findLastIndex((litres) => litres > 0)
  return Math.max(0, first + rules.gridMinutes * Math.floor((random() * (last - first)) / rules.gridMinutes))
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
