import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Plan, SKIP } from '../../../../domain/rotation/timetable/layout/day.ts'
import type { Layout } from '../../../../domain/rotation/timetable/layout/layout.ts'
import { change, exchange } from '../../../../domain/rotation/timetable/moves.ts'
import { type PumpWeek, pumpWeek, pumpWorks } from '../../../../domain/rotation/timetable/pump/pump-week.ts'
import { allocation, flowFrom, input } from './two-days.ts'

const DAYS = ['2026-03-02', '2026-03-03', '2026-03-04']
const ROWS = [0, 1, 2, 3, 4]

/** Five claims of 1 m3 on three days; the pump runs from 8 to 11 on the first two. Turns last ten minutes at least, on full five. */
function week(wishes: { on: string; fromHour: number; toHour: number }[] = []): PumpWeek {
  const work = input({
    week: { startOn: DAYS[0]!, days: DAYS },
    allocations: ROWS.map((at) => allocation({ claimId: `c${at}`, plotId: `c${at}`, wished: at === 3 ? wishes : [] })),
    outlets: [{ id: 'x', pumpId: 'p', flowM3PerH: 6 }],
    pumps: [{ id: 'p', flowM3PerHByDay: Object.fromEntries(DAYS.slice(0, 2).map((on) => [on, flowFrom(8, 11, 100)])) }],
  })
  return pumpWeek(work, pumpWorks(work)[0]!)
}
const WEEK = week()

/** A plan in which no day, row or figure is like another. */
const plan = (): Plan => ({
  order: [Int16Array.of(0, 1, 2, 3, 4), Int16Array.of(4, 2, 0, 1, 3), Int16Array.of(3, 0, 4, 2, 1)],
  notBefore: DAYS.map((_, day) => Int16Array.from(ROWS, (row) => 485 + 25 * day + 5 * row)),
  atMost: DAYS.map((_, day) => Int16Array.from(ROWS, (row) => 15 + 25 * day + 5 * row)),
})
const plain = ({ order, notBefore, atMost }: Plan) => ({
  order: order.map((one) => [...one]),
  notBefore: notBefore.map((one) => [...one]),
  atMost: atMost.map((one) => [...one]),
})
const layout = (...rows: number[]) => ({ days: DAYS.map(() => rows.map((row) => ({ row }))) }) as unknown as Layout

/** What the search makes of a plan when chance gives these numbers, one after the other. */
function changedBy(numbers: number[], { of = WEEK, turns = layout() } = {}) {
  const rest = numbers.slice()
  const changing = plan()
  const made = change(of, changing, turns, () => rest.shift()!)
  return { ...made, plan: plain(changing), isUsedUp: rest.length === 0 }
}
const HUNDREDTHS = Array.from({ length: 100 }, (_, at) => at / 100)
const count = <T>(list: T[]) =>
  Object.fromEntries([...new Set(list)].map((one) => [one, list.filter((other) => other === one).length]))
/** The number by which chance picks one of so many. */
const pick = (at: number, of: number) => (at + 0.5) / of
/** No exchange; the second day; this row. */
const onSecondDay = (row: number) => [0.5, 0.5, 0.5, pick(1, 3), pick(row, 5)]
const before = plain(plan())

describe('a change of a plan by chance', () => {
  it('leaves each day’s order whole and all else as it was, and is taken back to the last figure', () => {
    const number = fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true })
    fc.assert(
      fc.property(fc.infiniteStream(number), fc.integer({ min: 1, max: 6 }), (stream, times) => {
        const changing = plan()
        const undone: { undo: () => void; was: ReturnType<typeof plain> }[] = []
        for (let time = 0; time < times; time++) {
          const was = plain(changing)
          const { changed, undo } = change(WEEK, changing, layout(2, 4), () => stream.next().value)
          undone.push({ undo, was })
          const now = plain(changing)
          DAYS.forEach((_, day) => {
            expect(now.order[day]!.toSorted()).toEqual(ROWS)
            if (day < changed.fromDay || day > changed.toDay)
              for (const list of ['order', 'notBefore', 'atMost'] as const)
                expect(now[list][day]).toEqual(was[list][day])
            for (const list of ['notBefore', 'atMost'] as const)
              for (const row of ROWS)
                if (!changed.rows.includes(row)) expect(now[list][day]![row]).toBe(was[list][day]![row])
          })
        }
        for (const { undo, was } of undone.toReversed()) {
          undo()
          expect(plain(changing)).toEqual(was)
        }
      }),
    )
  })

  it('is of each kind as often as it should be', () => {
    const kinds = HUNDREDTHS.map((kind) => {
      const now = changedBy([...onSecondDay(4), kind, 0.5, 0.5]).plan
      if (String(now.order) !== String(before.order)) return String(now.order[1]) === '2,0,4,1,3' ? 'moved' : 'swapped'
      return String(now.atMost) !== String(before.atMost) ? 'length' : 'start'
    })
    expect(count(kinds)).toEqual({ moved: 30, swapped: 30, length: 20, start: 20 })
    const exchanged = HUNDREDTHS.map((chance) => changedBy([0.1, 0.9, chance, 0.5, 0.5, 0, 0.5]).changed.rows.length)
    expect(count(exchanged)).toEqual({ 2: 10, 1: 90 })
    const ofTurns = HUNDREDTHS.map((chance) => {
      const { changed } = changedBy([0.5, 0.5, 0.5, 0.5, chance, 0.9, 0, 0.5], { turns: layout(1, 3) })
      return changed.rows[0] === 3 ? 'of the turns' : 'any'
    })
    expect(count(ofTurns)).toEqual({ 'of the turns': 70, any: 30 })
  })

  it('moves a row to any place of the day’s order, or lets it change places with any other', () => {
    for (const row of ROWS)
      for (const to of ROWS) {
        const moved = before.order[1]!.filter((one) => one !== row)
        moved.splice(to, 0, row)
        const { plan: now, changed } = changedBy([...onSecondDay(row), 0, pick(to, 5)])
        expect(now).toEqual({ ...before, order: before.order.with(1, moved) })
        expect(changed).toEqual({ fromDay: 1, toDay: 1, rows: [row] })
        const swapped = before.order[1]!.map((one) => (one === row ? to : one === to ? row : one))
        expect(changedBy([...onSecondDay(row), 0.3, pick(to, 5)]).plan.order[1]).toEqual(swapped)
      }
  })

  it('sets a length: none, no turn, or on full five minutes from the shortest turn to six hours more', () => {
    const length = (...chance: number[]) => changedBy([...onSecondDay(2), 0.6, ...chance]).plan.atMost[1]![2]
    expect(count(HUNDREDTHS.map((kind) => Math.min(length(kind, 0.5)!, 1)))).toEqual({ 0: 30, [SKIP]: 20, 1: 50 })
    expect([0, 0.0138, 0.0139, 0.5, 0.999].map((chance) => length(0.5, chance))).toEqual([10, 10, 15, 190, 365])
  })

  it('sets a start: none, or on full five minutes of the pump’s hours', () => {
    const start = (...chance: number[]) => changedBy([...onSecondDay(2), 0.8, ...chance]).plan.notBefore[1]![2]
    expect(count(HUNDREDTHS.map((kind) => Math.min(start(kind, 0.5)!, 1)))).toEqual({ 0: 40, 1: 60 })
    expect([0, 0.5, 0.999].map((chance) => start(0.4, chance))).toEqual([480, 565, 655])
    const onDryDay = changedBy([0.5, 0.5, 0.5, pick(2, 3), pick(2, 5), 0.8, 0.4, 0.5])
    expect(onDryDay.plan.notBefore[2]![2]).toBe(0)
  })

  it('tries a wish one time in ten where somebody wished: all on that day, not before that hour', () => {
    const wished = week([
      { on: DAYS[0]!, fromHour: 9, toHour: 10 },
      { on: DAYS[1]!, fromHour: 10, toHour: 11 },
    ])
    const tries = HUNDREDTHS.map((chance) => changedBy([chance, 0.9, 0.9, 0.5, 0.5, 0.5, 0, 0.5], { of: wished }))
    expect(count(tries.map(({ changed }) => changed.toDay - changed.fromDay))).toEqual({ 2: 10, 0: 90 })
    expect(tries[0]!.changed.rows).toEqual([3])
    const { order, atMost, notBefore } = tries[0]!.plan
    expect(order).toEqual(before.order)
    expect(atMost.map((day) => day[3])).toEqual([SKIP, 0, SKIP])
    expect(notBefore.map((day) => day[3])).toEqual([before.notBefore[0]![3], 600, before.notBefore[2]![3]])
  })
})

it('two rows that are exchanged have each other’s place, start and length on every day, and a second time their own', () => {
  const changing = plan()
  const undo = exchange(changing, 1, 3)
  const now = plain(changing)
  DAYS.forEach((_, day) => {
    expect(now.order[day]).toEqual(before.order[day]!.map((row) => (row === 1 ? 3 : row === 3 ? 1 : row)))
    for (const list of ['notBefore', 'atMost'] as const)
      expect(now[list][day]).toEqual(ROWS.map((row) => before[list][day]![row === 1 ? 3 : row === 3 ? 1 : row]))
  })
  undo()
  expect(plain(changing)).toEqual(before)
})
