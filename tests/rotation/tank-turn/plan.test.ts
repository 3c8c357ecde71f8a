import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkTimetable } from '../../../domain/rotation/timetable/check/timetable.ts'
import { directFirst } from '../../../domain/rotation/timetable/direct-first.ts'
import { tankCourse } from '../../../domain/rotation/timetable/tank/fills.ts'
import { timetable } from '../../../domain/rotation/timetable/timetable.ts'
import type { PlannedTurn, TimetableInput } from '../../../domain/rotation/timetable/types.ts'
import { runs } from '../../support/runs.ts'
import { randomTankWeeks, tankWeekByHand } from './examples.ts'

const fedOutlets = ({ outlets }: TimetableInput) => new Set(outlets.filter(({ tankId }) => tankId).map(({ id }) => id))

describe('a raised tank worked by hand', () => {
  // Each hour from 8 to 16 brings 3 m3; the head outlet draws 2 of them on Monday, so that 1 m3 an hour is left.
  it('takes what the turns leave until it is full, and gives it in the evening above what is kept back', () => {
    const input = tankWeekByHand()
    const { turns, fills, unplacedM3 } = timetable(input)
    expect(unplacedM3).toEqual([])
    const said = turns.map(({ claimId, on, startMinute, endMinute, volumeM3 }) => [
      claimId,
      on.slice(8),
      startMinute,
      endMinute,
      volumeM3,
    ])
    expect(said).toEqual([
      ['a', '02', 480, 960, 16],
      // Five minutes of walk after the pump; 4 m3 at 2 m3/h are two hours: 16:05 to 18:05.
      ['b', '02', 965, 1085, 4],
      // 1 + 5 - 4 = 2 m3 stand in it, of which 1 is kept back: the other 3 m3 wait for Tuesday’s filling.
      ['c', '03', 965, 1055, 3],
    ])
    expect(fills).toEqual([
      // From 1 to 6 m3 at 1 m3 an hour: 8:00 to 13:00.
      { tankId: 'tank', pumpId: 'pump', on: '2026-03-02', startMinute: 480, endMinute: 780, volumeM3: 5 },
      // From 2 to 4 m3, which the last turn and the mark need, at 3 m3 an hour: 40 minutes.
      { tankId: 'tank', pumpId: 'pump', on: '2026-03-03', startMinute: 480, endMinute: 520, volumeM3: 2 },
    ])
    expect(tankCourse({ works: input, turns }).eveningM3.map(({ volumeM3 }) => volumeM3)).toEqual([2, 1])
  })

  it('gives at dawn what was pumped the day before', () => {
    const input = tankWeekByHand()
    input.tanks![0]!.gravityHours = [{ fromHour: 5, toHour: 8 }]
    input.allocations = input.allocations.filter(({ claimId }) => claimId !== 'c')
    const gravity = timetable(input).turns.filter(({ outletId }) => outletId === 'low')
    expect(gravity.map(({ on, volumeM3, burdens }) => [on, volumeM3, burdens])).toEqual([
      ['2026-03-03', 4, expect.arrayContaining(['dawn'])],
    ])
  })

  it('says that the tank is too small where the pump standing free would not help, and else that the pump is full', () => {
    const small = tankWeekByHand()
    small.tanks![0]!.capacityM3 = 3
    expect(timetable(small).unplacedM3).toMatchObject([{ reason: 'tank-full', volumeM3: 3 }])
    const busy = tankWeekByHand()
    busy.outlets[0]!.flowM3PerH = 3
    busy.allocations[0]!.volumeM3 = 46
    const { unplacedM3 } = timetable(busy)
    expect(unplacedM3.length).toBeGreaterThan(0)
    expect(unplacedM3.every(({ reason }) => reason === 'pump-full')).toBe(true)
  })

  it('says of a pump that its tail waits for its head, also where the tail is served from the tank, and not otherwise', () => {
    const notesAt = (places: Record<string, number>) => {
      const input = tankWeekByHand()
      for (const one of input.allocations) one.linePosition = places[one.claimId]
      const result = timetable(input)
      expect(checkTimetable({ input, result })).toEqual([])
      return result.notes
    }
    // Claim a has its turn on Monday until four, b after that, c on Tuesday.
    const waits = [{ code: 'tail-after-head', pumpId: 'pump' }]
    expect(notesAt({ a: 1, b: 2, c: 3 })).toEqual(waits)
    expect(notesAt({ a: 1, b: 3, c: 2 })).toEqual(waits)
    expect(notesAt({ a: 3, b: 2, c: 1 })).toEqual([])
    expect(notesAt({ a: 2, b: 2, c: 2 })).toEqual([])
  })

  it('counts the evening as night where a turn runs beyond seven', () => {
    const input = tankWeekByHand()
    input.tanks![0]!.gravityHours = [{ fromHour: 18, toHour: 22 }]
    const [turn] = timetable(input).turns.filter(({ outletId }) => outletId === 'low')
    expect(turn!.burdens).toContain('night')
  })
})

describe('a raised tank in random weeks', () => {
  it('passes the judge, and never holds more than it can or less than it keeps back', () => {
    let gravityTurns = 0
    fc.assert(
      fc.property(randomTankWeeks(), (input) => {
        const result = timetable(input)
        expect(checkTimetable({ input, result })).toEqual([])
        const course = tankCourse({ works: input, turns: result.turns })
        expect(course.fills).toEqual(result.fills)
        expect(course.shortTurnIds).toEqual([])
        for (const { tankId, volumeM3 } of course.eveningM3) {
          const { capacityM3, floorM3, startM3 } = input.tanks!.find(({ id }) => id === tankId)!
          expect(volumeM3).toBeLessThanOrEqual(capacityM3 + 1e-9)
          expect(volumeM3).toBeGreaterThanOrEqual(Math.min(floorM3, startM3) - 0.001)
        }
        gravityTurns += result.turns.filter(({ outletId }) => fedOutlets(input).has(outletId)).length
      }),
      runs(60),
    )
    expect(gravityTurns).toBeGreaterThan(20)
  })

  it('comes out the same whatever the order of the lists', () => {
    fc.assert(
      fc.property(randomTankWeeks(), (input) => {
        const turned = {
          ...input,
          allocations: input.allocations.toReversed(),
          pumps: input.pumps.toReversed(),
          outlets: input.outlets.toReversed(),
          tanks: input.tanks!.toReversed(),
          unavailable: input.unavailable.toReversed(),
        }
        expect(timetable(turned)).toEqual(timetable(input))
      }),
      runs(25),
    )
  })

  it('comes out the same where other volumes were laid in the same hours before, and the same volumes are laid once', () => {
    fc.assert(
      fc.property(randomTankWeeks(), fc.nat(), (input, which) => {
        const litresOf = (volumeM3: number, at: number) =>
          Math.floor((volumeM3 * 1000) / (at === which % input.allocations.length ? 2 : 1) + 1e-6)
        const allocations = input.allocations.map((one, at) => ({
          ...one,
          volumeM3: litresOf(one.volumeM3, at) / 1000,
        }))
        const known = new Map()
        timetable({ ...input, allocations }, { known })
        const result = timetable(input)
        expect(timetable(input, { known })).toEqual(result)
        const laid = known.size
        expect(timetable(input, { known })).toEqual(result)
        expect(known.size).toBe(laid)
      }),
      runs(15),
    )
  })

  it('leaves the direct turns as they would be without a tank’s turns, unless more is served by leaving hours to the tank', () => {
    const unplaced = ({ unplacedM3 }: { unplacedM3: { volumeM3: number }[] }) =>
      unplacedM3.reduce((litres, { volumeM3 }) => litres + Math.round(volumeM3 * 1000), 0)
    fc.assert(
      fc.property(randomTankWeeks(), (input) => {
        const [result, plain] = [timetable(input), directFirst(input)]
        expect(unplaced(result)).toBeLessThanOrEqual(unplaced(plain))
        if (unplaced(result) === unplaced(plain)) expect(result).toEqual(plain)
        const fed = fedOutlets(input)
        const direct = (turns: PlannedTurn[]) =>
          turns
            .filter(({ outletId }) => !fed.has(outletId))
            .map(({ id, startMinute, volumeM3 }) => [id, startMinute, volumeM3])
        const alone = { ...input, allocations: input.allocations.filter(({ outletId }) => !fed.has(outletId)) }
        expect(direct(plain.turns)).toEqual(direct(timetable(alone).turns))
      }),
      runs(25),
    )
  })
})
