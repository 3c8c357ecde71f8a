import fc from 'fast-check'
import { datesFromTo } from '../../../domain/calendar.ts'
import type { TimetableInput, TimetableTank } from '../../../domain/rotation/timetable/types.ts'
import { CLEAR_DAY, randomWeeks } from '../timetable/examples.ts'

const WEEK = datesFromTo('2026-03-02', '2026-03-08') // Monday to Sunday

/**
 * Worked by hand. The pump gives 3 m3/h from 8 to 16, 24 m3 a day. The head outlet draws 2 m3/h, so that each of its hours
 * leaves 1 m3. The tank holds 6 m3, keeps 1 back, stands at 1 on Monday morning, and feeds two outlets of 2 m3/h.
 */
export function tankWeekByHand(): TimetableInput {
  const days = WEEK.slice(0, 2)
  const flow = Array.from({ length: 24 }, (_, hour) => (hour >= 8 && hour < 16 ? 3 : 0))
  return {
    week: { startOn: days[0]!, days },
    allocations: [
      { claimId: 'a', plotId: 'a', outletId: 'head', volumeM3: 16 },
      { claimId: 'b', plotId: 'b', outletId: 'low', volumeM3: 4 },
      { claimId: 'c', plotId: 'c', outletId: 'lower', volumeM3: 3 },
    ],
    pumps: [{ id: 'pump', flowM3PerHByDay: Object.fromEntries(days.map((day) => [day, flow])) }],
    outlets: [
      { id: 'head', pumpId: 'pump', flowM3PerH: 2 },
      { id: 'low', pumpId: 'pump', flowM3PerH: 2, tankId: 'tank' },
      { id: 'lower', pumpId: 'pump', flowM3PerH: 2, tankId: 'tank' },
    ],
    tanks: [
      {
        id: 'tank',
        pumpId: 'pump',
        capacityM3: 6,
        floorM3: 1,
        startM3: 1,
        gravityHours: [{ fromHour: 6, toHour: 20 }],
      },
    ],
    unavailable: [],
    rules: { minTurnMinutes: 10, changeoverMinutes: 5 },
  }
}

/** Random weeks of every kind in which some outlets hang on a tank or two of their pump. */
export function randomTankWeeks(): fc.Arbitrary<TimetableInput> {
  const tank = fc.record({
    litres: fc.oneof(fc.integer({ min: 0, max: 2000 }), fc.integer({ min: 0, max: 20_000 })),
    floorPart: fc.constantFrom(0, 0, 0.2, 1),
    startPart: fc.double({ min: 0, max: 1, noNaN: true }),
    hours: fc.option<NonNullable<TimetableTank['gravityHours']>, undefined>(
      fc.constantFrom(
        [{ fromHour: 5, toHour: 21 }],
        [
          { fromHour: 0, toHour: 7.5 },
          { fromHour: 17, toHour: 24 },
        ],
      ),
      { nil: undefined },
    ),
  })
  return fc
    .record({
      week: randomWeeks({ mostPumps: 2, mostRows: 10 }),
      tanks: fc.array(tank, { minLength: 2, maxLength: 4 }),
      fed: fc.array(fc.nat(3), { minLength: 5, maxLength: 12 }),
      filling: fc.array(fc.constantFrom(0, 0, 7, 20), { minLength: 3, maxLength: 3 }),
      flows: fc.array(fc.integer({ min: 2, max: 40 }), { minLength: 5, maxLength: 5 }),
      sizes: fc.array(fc.integer({ min: 0, max: 12 }), { minLength: 2, maxLength: 2 }),
    })
    .map(({ week, tanks, fed, filling, flows, sizes }) => {
      const own = tanks.map(({ litres, floorPart, startPart, hours }, at) => ({
        id: `tank-${at}`,
        pumpId: week.pumps[at % week.pumps.length]!.id,
        capacityM3: litres / 1000,
        floorM3: Math.floor(litres * floorPart) / 1000,
        startM3: (litres * startPart) / 1000,
        gravityHours: hours,
      }))
      const pumps = week.pumps.map(({ id }, at) => ({
        id,
        flowM3PerHByDay: Object.fromEntries(
          week.week.days.map((day) => [day, CLEAR_DAY.map((flow) => (flow * sizes[at]!) / 4)]),
        ),
      }))
      const outlets = week.outlets.map((tested, at) => {
        const outlet = {
          ...tested,
          flowM3PerH: flows[at % flows.length]! / 10,
          fillingMinutes: filling[at % filling.length]!,
        }
        const tanksOfPump = own.filter((one) => one.pumpId === outlet.pumpId)
        const chosen = tanksOfPump[fed[at % fed.length]!]
        return chosen ? { ...outlet, tankId: chosen.id } : outlet
      })
      return { ...week, tanks: own, outlets, pumps }
    })
}
