import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Plan, SKIP } from '../../../../domain/rotation/timetable/layout/day.ts'
import { changedAllWeek, layOut, restAfter } from '../../../../domain/rotation/timetable/layout/layout.ts'
import { pumpWeek, pumpWorks } from '../../../../domain/rotation/timetable/pump/pump-week.ts'
import type { TimetableInput } from '../../../../domain/rotation/timetable/types.ts'
import { runs } from '../../../support/runs.ts'

const DAYS = ['2026-03-02', '2026-03-03']
const OUTLETS = ['x', 'y', 'z']
const m3PerH = (litresPerMinute: number) => (litresPerMinute * 60) / 1000

interface Drawn {
  flows: number[]
  outletFlows: number[]
  filling: number[]
  rows: { outlet: number; litres: number; closed: number | null }[]
  atOnce: number
  apart: boolean
  rules: { minTurnMinutes: number; maxTurnMinutes: number | undefined; changeoverMinutes: number; gridMinutes: number }
  choices: { order: number[]; notBefore: number[]; atMost: number[] }[]
}

const three = <T>(one: fc.Arbitrary<T>) => fc.array(one, { minLength: 3, maxLength: 3 })
const choice = fc.record({
  order: fc.shuffledSubarray([0, 1, 2], { minLength: 3 }),
  notBefore: three(fc.constantFrom(0, 0, 500, 523, 560)),
  atMost: three(fc.constantFrom(0, 0, SKIP, 5, 20)),
})
const weeks: fc.Arbitrary<Drawn> = fc.record({
  flows: three(fc.constantFrom(0, 2, 3, 5)),
  outletFlows: three(fc.constantFrom(0, 1, 2, 3)),
  filling: three(fc.constantFrom(0, 0, 7)),
  rows: three(
    fc.record({
      outlet: fc.nat(2),
      litres: fc.constantFrom(1, 20, 31, 60, 200),
      closed: fc.constantFrom(null, 8.25, 9),
    }),
  ),
  atOnce: fc.integer({ min: 1, max: 2 }),
  apart: fc.boolean(),
  rules: fc.record({
    minTurnMinutes: fc.constantFrom(1, 10),
    maxTurnMinutes: fc.constantFrom(undefined, 30),
    changeoverMinutes: fc.constantFrom(0, 5),
    gridMinutes: fc.constantFrom(1, 5),
  }),
  choices: fc.array(choice, { minLength: 2, maxLength: 2 }),
})

/** From 8:00 to 11:00 so many whole litres a minute; a closed row cannot for half an hour from then on. */
function inputOf({ flows, outletFlows, filling, rows, atOnce, apart, rules }: Drawn): TimetableInput {
  const byHour = Array.from({ length: 24 }, (_, hour) => m3PerH(flows[hour - 8] ?? 0))
  return {
    week: { startOn: DAYS[0]!, days: DAYS },
    allocations: rows.map(({ outlet, litres, closed }, at) => ({
      ...{ claimId: `c${at}`, plotId: `c${at}`, outletId: OUTLETS[outlet]!, volumeM3: litres / 1000 },
      canNot: closed === null ? [] : [{ fromHour: closed, toHour: closed + 0.5 }],
    })),
    pumps: [{ id: 'p', flowM3PerHByDay: Object.fromEntries(DAYS.map((day) => [day, byHour])) }],
    outlets: OUTLETS.map((id, at) => ({
      id,
      pumpId: 'p',
      flowM3PerH: m3PerH(outletFlows[at]!),
      fillingMinutes: filling[at]!,
    })),
    unavailable: [],
    together: [{ pumpId: 'p', atMost: atOnce, ...(apart ? { pairs: [['x', 'y'] as [string, string]] } : {}) }],
    rules,
  }
}

function planOf(choices: Drawn['choices']): Plan {
  const of = (pick: (of: Drawn['choices'][number]) => number[]) => choices.map((one) => Int16Array.from(pick(one)))
  return {
    order: of(({ order }) => order),
    notBefore: of(({ notBefore }) => notBefore),
    atMost: of(({ atMost }) => atMost),
  }
}

/** The same day lived through minute by minute in whole litres: whoever can start now starts, the first in the order first. */
function lived(drawn: Drawn, day: number, rest: number[]) {
  const { flows, outletFlows, filling, rows, rules, atOnce, apart } = drawn
  const { order, notBefore, atMost } = drawn.choices[day]!
  const pumped = (minute: number) => flows[Math.floor(minute / 60) - 8] ?? 0
  const first = Array.from({ length: 1440 }, (_, minute) => minute).find((minute) => pumped(minute) > 0) ?? 1440
  const left = Array.from({ length: 1440 }, (_, minute) => pumped(minute))
  const isOpen = (row: number, minute: number) => {
    const { closed, outlet } = rows[row]!
    const isClosed = closed !== null && minute >= closed * 60 && minute < closed * 60 + 30
    return pumped(minute) > 0 && !isClosed && minute >= first + filling[outlet]!
  }
  const openFrom = (row: number, minute: number) => {
    let end = minute
    while (end < 1440 && isOpen(row, end)) end++
    return end
  }
  const linesFreeAt = Array<number>(atOnce).fill(0)
  const outletFreeAt = [0, 0, 0]
  const barredUntil = [0, 0, 0]
  const waiting = order.filter((row) => rest[row]! > 0 && atMost[row] !== SKIP)
  const mayStart = (row: number, minute: number) => {
    const { outlet } = rows[row]!
    const after = (freeAt: number) => (freeAt === 0 ? 0 : freeAt + filling[outlet]!)
    const soonest = Math.max(
      notBefore[row]!,
      after(Math.min(...linesFreeAt)),
      after(outletFreeAt[outlet]!),
      atOnce > 1 ? barredUntil[outlet]! : 0,
    )
    if (minute < soonest || minute % rules.gridMinutes !== 0 || left[minute] === 0) return false
    return openFrom(row, minute) - minute >= rules.minTurnMinutes
  }
  const turns: { row: number; startMinute: number; endMinute: number; litres: number }[] = []
  for (let minute = 480; minute < 660; minute++)
    for (;;) {
      const row = waiting.find((one) => mayStart(one, minute))
      if (row === undefined) break
      waiting.splice(waiting.indexOf(row), 1)
      const { outlet } = rows[row]!
      const longest = Math.max(rules.minTurnMinutes, Math.min(rules.maxTurnMinutes ?? 1440, atMost[row] || 1440))
      const lastEnd = Math.min(openFrom(row, minute), minute + longest)
      let [end, given] = [minute, 0]
      for (; end < lastEnd; end++) {
        if (end >= minute + rules.minTurnMinutes && (given >= rest[row]! || left[end] === 0)) break
        const litres = Math.min(left[end]!, outletFlows[outlet]!)
        given += litres
        if (atOnce > 1) left[end]! -= litres
      }
      const litres = Math.min(given, rest[row]!)
      if (litres === 0) continue
      rest[row]! -= litres
      outletFreeAt[outlet] = end + rules.changeoverMinutes
      linesFreeAt[linesFreeAt.indexOf(Math.min(...linesFreeAt))] = end + rules.changeoverMinutes
      // Only x and y may be open beside each other where pairs are told; an outlet is never open twice.
      for (const other of [0, 1, 2])
        if (other === outlet || (apart && (other === 2 || outlet === 2)))
          barredUntil[other] = Math.max(barredUntil[other]!, end)
      turns.push({ row, startMinute: minute, endMinute: end, litres })
    }
  return turns
}

const weekOf = (drawn: Drawn) => {
  const input = inputOf(drawn)
  return pumpWeek(input, pumpWorks(input)[0]!)
}

describe('a plan laid out', () => {
  it('is what happens when the days are lived through minute by minute', () => {
    fc.assert(
      fc.property(weeks, (drawn) => {
        const week = weekOf(drawn)
        const layout = layOut(week, planOf(drawn.choices))
        const rest = drawn.rows.map(({ litres }) => litres)
        for (const day of [0, 1]) {
          const turns = lived(drawn, day, rest)
          expect(layout.days[day]!.map(({ day: _, order: __, ...turn }) => turn)).toEqual(turns)
          expect(layout.days[day]!.map(({ order }) => order)).toEqual(turns.map((_, order) => order))
          expect([...layout.restBefore[day + 1]!]).toEqual(rest)
        }
        expect([...restAfter(layout)]).toEqual(rest)
      }),
      runs(150),
    )
  })

  it('is the same, whether the whole week is laid out again or only the days that a change touches', () => {
    fc.assert(
      fc.property(weeks, choice, fc.nat(1), fc.nat(2), (drawn, other, day, row) => {
        const week = weekOf(drawn)
        const before = layOut(week, planOf(drawn.choices))
        const changed = structuredClone(drawn.choices)
        changed[day]!.notBefore[row] = other.notBefore[row]!
        changed[day]!.atMost[row] = other.atMost[row]!
        const plan = planOf(changed)
        const whole = layOut(week, plan)
        expect(layOut(week, plan, { fromDay: day, toDay: day, rows: [row], layout: before })).toEqual(whole)
        expect(layOut(week, plan, { ...changedAllWeek(week, [row]), layout: before })).toEqual(whole)
      }),
      runs(150),
    )
  })

  it('is the same after every one of many changes, of which some were taken back', () => {
    const step = fc.record({ to: choice, day: fc.nat(1), row: fc.nat(2), taken: fc.boolean() })
    fc.assert(
      fc.property(weeks, fc.array(step, { minLength: 4, maxLength: 8 }), (drawn, steps) => {
        const week = weekOf(drawn)
        let choices = drawn.choices
        let layout = layOut(week, planOf(choices))
        for (const { to, day, row, taken } of steps) {
          const changed = structuredClone(choices)
          changed[day] = {
            order: to.order,
            notBefore: changed[day]!.notBefore.with(row, to.notBefore[row]!),
            atMost: changed[day]!.atMost.with(row, to.atMost[row]!),
          }
          const tried = layOut(week, planOf(changed), { fromDay: day, toDay: day, rows: [row], layout })
          // What was asked of a day may be that of a change taken back: to both it answers with the same turns.
          const { asked: _, ...whole } = layOut(week, planOf(changed))
          expect(tried).toMatchObject(whole)
          if (taken) [choices, layout] = [changed, tried]
        }
      }),
      runs(150),
    )
  })
})
