import { describe, expect, it } from 'vitest'
import { isBorne, turnBurdens } from '../../../../domain/rotation/timetable/burdens.ts'
import type { Placed } from '../../../../domain/rotation/timetable/layout/day.ts'
import type { Layout } from '../../../../domain/rotation/timetable/layout/layout.ts'
import type { PumpWeek, Row } from '../../../../domain/rotation/timetable/pump/pump-week.ts'
import { costLitres, isLate, isTailAfterHead, timeOf } from '../../../../domain/rotation/timetable/score.ts'
import { meetsWish } from '../../../../domain/rotation/timetable/wishes.ts'

/** A week of 100,000 litres: a part of it is easily told from a litre. Plots 0 and 1, of head and tail, on days 0 to 2; day 2 is a Sunday. */
function week(more: Partial<PumpWeek> = {}, rows: Partial<Row>[] = [{}, {}]): PumpWeek {
  const row = (one: Partial<Row>, at: number) =>
    ({ litres: 50_000, plot: at, lastGoodDay: 9, linePosition: at + 1, wished: [], ...one }) as unknown as Row
  return {
    ...{ rows: rows.map(row), litres: 100_000, wishers: 0, headPosition: 1, tailPosition: 2 },
    ...{ onBurdenWeekday: [false, false, true], carried: new Float64Array(10) },
    ...more,
  } as unknown as PumpWeek
}

const turn = (row: number, startMinute: number, more: Partial<Placed> = {}): Placed => ({
  row,
  day: 0,
  order: 0,
  startMinute,
  endMinute: startMinute + 60,
  litres: 50_000,
  ...more,
})

/** A layout of these turns, in their order by day, with so much left of each row. */
function layout(turns: Placed[], rest: number[] = [0, 0]): Layout {
  const days = [0, 1, 2].map((day) => turns.filter((one) => one.day === day))
  return { days, restBefore: [new Float64Array(2), Float64Array.from(rest)], stockBefore: [0, 0], asked: [] }
}

const dearer = (of: PumpWeek, than: Layout, is: Layout) => costLitres(of, is) - costLitres(of, than)
const two = (more: Partial<Placed> = {}) => layout([turn(0, 550), turn(1, 600, { endMinute: 660, ...more })])

describe('what a layout costs, in litres', () => {
  it('is the water not served, a few litres of a claim counted as a thousandth of the week', () => {
    const of = (rest: number[]) => dearer(week(), layout([], [0, 0]), layout([], rest))
    expect([of([500, 0]), of([0, 500]), of([500, 700])]).toEqual(
      [500, 500, 1200].map((each) => expect.closeTo(each, 6)),
    )
    expect([of([1, 0]), of([100, 0]), of([101, 0])]).toEqual([100, 100, 101].map((each) => expect.closeTo(each, 6)))
  })

  it('is a tenth of what comes after the latest day, and less the sooner it comes', () => {
    const late = week({}, [{}, { lastGoodDay: 0 }])
    const onTime = week({}, [{}, { lastGoodDay: 1 }])
    const next = layout([turn(0, 550), turn(1, 600, { day: 1 })])
    expect(costLitres(late, next) - costLitres(onTime, next)).toBeCloseTo(5000, 6)
    expect([isLate(late, turn(1, 600, { day: 1 })), isLate(onTime, turn(1, 600, { day: 1 }))]).toEqual([true, false])
    // Half of the week’s water a day later, at 0.0002 a day, and the tail behind the head, a thousandth.
    const sooner = layout([turn(0, 550, { endMinute: 601 }), turn(1, 600)])
    const later = layout([turn(0, 550, { endMinute: 601, day: 1 }), turn(1, 600, { day: 1 })])
    expect(dearer(week({ onBurdenWeekday: [false, false, false] }), sooner, later)).toBeCloseTo(20, 6)
  })

  it('is a thousandth of the week where the tail waits until the head has ended', () => {
    const touching = layout([turn(0, 540), turn(1, 600)])
    const before = layout([turn(0, 540, { endMinute: 601 }), turn(1, 600)])
    expect([isTailAfterHead(week(), touching), isTailAfterHead(week(), before)]).toEqual([true, false])
    expect(dearer(week(), before, touching)).toBeCloseTo(100, 2)
    expect(isTailAfterHead(week({ tailPosition: 1 }), touching)).toBe(false)
    const nextDay = layout([turn(0, 900), turn(1, 500, { day: 1 })])
    expect(isTailAfterHead(week(), nextDay)).toBe(true)
    // The head’s last turn and the tail’s first count.
    expect(isTailAfterHead(week(), layout([turn(0, 900), turn(1, 500, { day: 1 }), turn(0, 700, { day: 2 })]))).toBe(
      false,
    )
    expect(isTailAfterHead(week(), layout([turn(1, 500), turn(0, 600), turn(1, 500, { day: 1 })]))).toBe(false)
    expect(isTailAfterHead(week(), layout([turn(1, 0)]))).toBe(false)
    expect(isTailAfterHead(week(), layout([turn(0, 600)]))).toBe(false)
    expect(isTailAfterHead(week(), layout([turn(0, 0, { endMinute: 5 }), turn(1, 5)]))).toBe(true)
  })

  it('is a ten-thousandth for each turn, and two thousandths more for one of a few litres of a larger claim', () => {
    const of = (litres: number, own = 50_000) =>
      dearer(
        week({}, [{}, { litres: own }]),
        layout([turn(0, 550)]),
        layout([turn(0, 550), turn(1, 600, { litres, endMinute: 600, startMinute: 600 })]),
      )
    // Ten litres for the turn, and five since it is the last of its day.
    expect([of(50_000), of(100), of(99), of(99, 99)].map((each) => Math.round(each * 1e4) / 1e4)).toEqual([
      15, 15, 215, 15,
    ])
  })

  it('is more for a hard hour the oftener its plot has carried one: one part, three, five', () => {
    const noon = (carried: number) => {
      const counts = new Float64Array(10)
      counts[5 + 1] = carried // the second plot’s noons
      const of = week({ carried: counts, tailPosition: 1 })
      return dearer(of, two({ startMinute: 600, endMinute: 690 }), two({ startMinute: 660, endMinute: 750 }))
    }
    expect([noon(0), noon(1), noon(2)].map((each) => Math.round(each * 1000) / 1000)).toEqual([5, 15, 25])
  })

  it('counts a burden that the same week has brought already', () => {
    const of = (first: number) =>
      costLitres(
        week(),
        layout([turn(1, first), turn(0, 580, { endMinute: 700 }), turn(1, 730, { day: 1 }), turn(0, 900, { day: 1 })]),
      )
    // A noon more on the first day: one part for it, and the second is then the third part dearer.
    expect(of(570)).toBeLessThan(of(730))
  })

  it('is four fifths of a thousandth where no wish is met, shared among those who wished', () => {
    const wishing = (wished: Row['wished'], wishers = 1) => week({ wishers }, [{}, { wished }])
    const met = costLitres(wishing([{ day: 0, fromMinute: 600, toMinute: 660 }]), two())
    const unmet = costLitres(wishing([{ day: 0, fromMinute: 601, toMinute: 660 }]), two())
    expect(unmet - met).toBeCloseTo(80, 6)
    expect(costLitres(wishing([], 2), two()) - costLitres(week(), two())).toBeCloseTo(80, 6)
  })
})

it('a wish is met by a whole turn within it, and by no part of one', () => {
  const row = { wished: [{ day: 0, fromMinute: 600, toMinute: 700 }] } as unknown as Row
  const met = (startMinute: number, endMinute: number, day = 0) =>
    meetsWish(row, turn(0, startMinute, { endMinute, day }))
  expect([met(600, 700), met(599, 700), met(600, 701), met(620, 650), met(620, 650, 1)]).toEqual([
    true,
    false,
    false,
    true,
    false,
  ])
})

describe('a hard hour', () => {
  const time = (startMinute: number, endMinute: number, more = {}) =>
    turnBurdens({ startMinute, endMinute, onBurdenWeekday: false, isLast: false, ...more }).join(' ')

  it.each([
    [480, 700, ''],
    [479, 700, 'dawn'],
    [360, 700, 'dawn'],
    [359, 700, 'dawn night'],
    [690, 750, 'noon'],
    [690, 749, ''],
    [810, 900, 'noon'],
    [811, 900, ''],
    [700, 900, 'noon'],
    [900, 1140, ''],
    [900, 1141, 'night'],
  ])('from minute %d to %d is %s', (from, to, expected) => expect(time(from, to)).toBe(expected))

  it('is a rest day, and the last of several', () => {
    expect(time(900, 950, { onBurdenWeekday: true })).toBe('rest-weekday')
    expect(time(900, 950, { isLast: true })).toBe('last')
    expect(isBorne('last', { startMinute: 0, endMinute: 1, onBurdenWeekday: true, isLast: false })).toBe(false)
  })

  it('is told of the turns of a day in their order', () => {
    const turns = [turn(0, 600, { day: 2 }), turn(1, 700, { day: 2 })]
    expect(timeOf(week(), turns, 0)).toEqual({ startMinute: 600, endMinute: 660, onBurdenWeekday: true, isLast: false })
    expect(timeOf(week(), turns, 1)).toMatchObject({ startMinute: 700, isLast: true })
    expect(timeOf(week(), turns.slice(1), 0).isLast).toBe(false)
  })
})
