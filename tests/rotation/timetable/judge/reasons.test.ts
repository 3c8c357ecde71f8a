import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../../domain/rotation/timetable/check/timetable.ts'
import type { TimetableTank, UnplacedReason } from '../../../../domain/rotation/timetable/types.ts'
import { type ByHand, byHand, MONDAY, sixFrom, TUESDAY } from './by-hand.ts'

const REASONS: UnplacedReason[] = ['no-flow', 'no-open-hours', 'hours-too-few', 'pump-full', 'tank-full']
const set = <T extends object>(thing: T, values: Partial<T>) => Object.assign(thing, values)

/** The reasons that the judge lets stand for a claim of so much at an outlet, none of which was placed. */
function standing(outletId: string, volumeM3: number, plan: (week: ByHand) => unknown): UnplacedReason[] {
  return REASONS.filter((reason) => {
    const week = byHand()
    week.input.outlets.push({ id: 'low', pumpId: 'pump', flowM3PerH: 6, tankId: 'tank' })
    week.input.tanks = [{ id: 'tank', pumpId: 'pump', capacityM3: 100, floorM3: 2, startM3: 2 }]
    week.input.allocations.push({ claimId: 'c', plotId: 'c', outletId, volumeM3 })
    week.result.unplacedM3.push({ claimId: 'c', outletId, volumeM3, reason })
    plan(week)
    return !checkTimetable(week).some(({ code }) => code === 'reason-untrue')
  })
}

const cannot = (w: ByHand, ...canNot: { on?: string; fromHour?: number; toHour?: number }[]) =>
  set(w.allocation('c'), { canNot })
/** The holder is free on every day from a minute to a minute. */
const freeFromTo = (w: ByHand, from: number, to: number) => cannot(w, { toHour: from / 60 }, { fromHour: to / 60 })
const dry = (w: ByHand, ...days: string[]) => {
  for (const day of days) w.input.pumps[0]!.flowM3PerHByDay[day] = sixFrom(0, 0)
}

describe('the reason for water straight from the pump', () => {
  const of = (volumeM3: number, plan: (w: ByHand) => unknown) => standing('head', volumeM3, plan)

  it('is no flow only where neither pump nor outlet gives any in the whole week', () => {
    expect(of(1, (w) => dry(w, ...w.input.week.days))).toEqual(['no-flow'])
    expect(of(1, (w) => set(w.input.pumps[0]!, { flowM3PerHByDay: {} }))).toEqual(['no-flow'])
    expect(of(1, (w) => set(w.outlet('head'), { flowM3PerH: 0 }))).toEqual(['no-flow'])
    expect(of(1, (w) => dry(w, ...w.input.week.days.slice(1)))).toEqual(['pump-full'])
  })

  it('is no open hours only where not even the shortest turn fits', () => {
    expect(of(1, (w) => freeFromTo(w, 600, 609))).toEqual(['no-open-hours'])
    expect(of(4, (w) => freeFromTo(w, 600, 610))).toEqual(['hours-too-few'])
    expect(of(4, (w) => [freeFromTo(w, 0, 1440), w.input.unavailable.push({})])).toEqual(['no-open-hours'])
    expect(of(4, (w) => [w.input.unavailable.push({ outletId: 'head' })])).toEqual(['no-open-hours'])
    expect(of(4, (w) => [w.input.unavailable.push({ pumpId: 'pump' })])).toEqual(['no-open-hours'])
    expect(of(4, (w) => [w.input.unavailable.push({ pumpId: 'other' }, { outletId: 'tail' })])).toEqual(['pump-full'])
    expect(of(1, (w) => cannot(w, { on: MONDAY }, { on: TUESDAY }))).toEqual(['pump-full'])
  })

  it('is too few hours from a litre beyond what they carry', () => {
    // Twenty minutes a day on three days: 6 m3.
    expect(of(6, (w) => freeFromTo(w, 600, 620))).toEqual(['pump-full'])
    expect(of(6.001, (w) => freeFromTo(w, 600, 620))).toEqual(['hours-too-few'])
    // Two hours a day are the longest turn: 36 m3.
    expect(of(36, () => {})).toEqual(['pump-full'])
    expect(of(36.001, () => {})).toEqual(['hours-too-few'])
    expect(of(144, (w) => set(w.input.rules, { maxTurnMinutes: undefined }))).toEqual(['pump-full'])
    expect(of(144.001, (w) => set(w.input.rules, { maxTurnMinutes: undefined }))).toEqual(['hours-too-few'])
  })

  it('counts from the next start on the grid, and from when the line has filled', () => {
    const five = (w: ByHand) => set(w.input.rules, { gridMinutes: undefined })
    expect(of(6, (w) => [five(w), freeFromTo(w, 601, 625)])).toEqual(['pump-full'])
    expect(of(6.001, (w) => [five(w), freeFromTo(w, 601, 625)])).toEqual(['hours-too-few'])
    const filled = (w: ByHand) => [set(w.outlet('head'), { fillingMinutes: 20 }), freeFromTo(w, 480, 520)]
    expect(of(6, filled)).toEqual(['pump-full'])
    expect(of(6.001, filled)).toEqual(['hours-too-few'])
  })

  it('counts the best stretch of a day, not two together, and hours of little water as little', () => {
    const two = (w: ByHand) =>
      cannot(w, { toHour: 10 }, { fromHour: 620 / 60, toHour: 700 / 60 }, { fromHour: 730 / 60 })
    expect(of(9, two)).toEqual(['pump-full'])
    expect(of(9.001, two)).toEqual(['hours-too-few'])
    const little = (w: ByHand) => {
      const flow = sixFrom(8, 16).map((each, hour) => (hour === 9 ? 3 : each))
      for (const day of w.input.week.days) w.input.pumps[0]!.flowM3PerHByDay[day] = flow
      freeFromTo(w, 570, 630)
    }
    // Half an hour of 3 m3/h and half an hour of 6: 4.5 m3 a day.
    expect(of(13.5, little)).toEqual(['pump-full'])
    expect(of(13.501, little)).toEqual(['hours-too-few'])
    const slow = (w: ByHand) => [little(w), set(w.outlet('head'), { flowM3PerH: 4 })]
    expect(of(10.5, slow)).toEqual(['pump-full'])
    expect(of(10.501, slow)).toEqual(['hours-too-few'])
  })
})

describe('the reason for water from a tank', () => {
  const of = (volumeM3: number, plan: (w: ByHand) => unknown) => standing('low', volumeM3, plan)
  const tank = (w: ByHand, values: Partial<TimetableTank>) => set(w.input.tanks![0]!, values)
  const hours = (w: ByHand, ...gravityHours: { fromHour: number; toHour: number }[]) => tank(w, { gravityHours })

  it('is no flow where the outlet gives none, or a dry pump meets a tank without water to give', () => {
    expect(of(1, (w) => set(w.outlet('low'), { flowM3PerH: 0 }))).toEqual(['no-flow'])
    const week = (w: ByHand) => dry(w, ...w.input.week.days)
    expect(of(1, week)).toEqual(['no-flow'])
    expect(of(1, (w) => [week(w), tank(w, { startM3: 2.001 })])).toEqual(['tank-full'])
    expect(of(1, (w) => tank(w, { startM3: 1 }))).toEqual(['tank-full'])
    expect(of(1, (w) => dry(w, MONDAY, TUESDAY))).toEqual(['tank-full'])
  })

  it('counts hours after the pump and before it, less the walk', () => {
    // From 16:05 to 17:00 on each of three days, 55 minutes: 16.5 m3; before 8:00 as much.
    for (const [fromHour, toHour] of [
      [15, 17],
      [7, 9],
    ] as const) {
      expect(of(16.5, (w) => hours(w, { fromHour, toHour }))).toEqual(['tank-full'])
      expect(of(16.501, (w) => hours(w, { fromHour, toHour }))).toEqual(['hours-too-few'])
    }
    expect(of(1, (w) => hours(w, { fromHour: 16, toHour: 16.25 }))).toEqual(['tank-full'])
    expect(of(1, (w) => hours(w, { fromHour: 16, toHour: 16 + 14 / 60 }))).toEqual(['no-open-hours'])
    expect(of(1, (w) => hours(w, { fromHour: 9, toHour: 15 }))).toEqual(['no-open-hours'])
  })

  it('takes the better of two stretches, and those of the night where none is told', () => {
    const two = [
      { fromHour: 4, toHour: 4.5 },
      { fromHour: 18, toHour: 19 },
    ]
    expect(of(18, (w) => hours(w, ...two))).toEqual(['tank-full'])
    expect(of(18.001, (w) => hours(w, ...two))).toEqual(['hours-too-few'])
    // Two hours of the night are the longest turn.
    expect(of(36, () => {})).toEqual(['tank-full'])
    expect(of(36.001, () => {})).toEqual(['hours-too-few'])
  })

  it('minds the holder’s hours and the closures of the outlet', () => {
    expect(of(6, (w) => freeFromTo(w, 1000, 1020))).toEqual(['tank-full'])
    expect(of(6.001, (w) => freeFromTo(w, 1000, 1020))).toEqual(['hours-too-few'])
    expect(of(1, (w) => w.input.unavailable.push({ outletId: 'low' }))).toEqual(['no-open-hours'])
    expect(of(1, (w) => w.input.unavailable.push({ outletId: 'head' }))).toEqual(['tank-full'])
    expect(of(1, (w) => cannot(w, { on: MONDAY }, { on: TUESDAY }))).toEqual(['tank-full'])
  })

  it('may be a full pump only where somebody else draws from it', () => {
    const other = (outletId: string, volumeM3: number) => (w: ByHand) =>
      w.input.allocations.push({ claimId: 'x', plotId: 'x', outletId, volumeM3 })
    expect(of(1, other('head', 0.001))).toEqual(['pump-full', 'tank-full'])
    expect(of(1, other('head', 0))).toEqual(['tank-full'])
    expect(of(1, other('far', 1))).toEqual(['tank-full'])
    expect(of(1, other('low', 1))).toEqual(['tank-full'])
  })
})
