import fc from 'fast-check'
import { datesFromTo } from '../../../domain/calendar.ts'
import type { TimetableInput } from '../../../domain/rotation/timetable/types.ts'

/** A pump's clear day in m3/h by clock hour, from 07:00 to 17:00. */
export const CLEAR_DAY = [0, 0, 0, 0, 0, 0, 0, 0.5, 1.6, 2.6, 3.3, 3.7, 3.8, 3.5, 2.8, 1.8, 0.7, 0, 0, 0, 0, 0, 0, 0]

const WEEK = datesFromTo('2026-03-02', '2026-03-08') // Monday to Sunday

/** A small week by hand: one pump, three outlets from head to tail, and a Sunday of rest. */
export function smallWeek(): TimetableInput {
  return {
    week: { startOn: WEEK[0]!, days: [...WEEK] },
    allocations: [
      { claimId: 'c1', plotId: 'p1', outletId: 'head', volumeM3: 12.345, linePosition: 1 },
      { claimId: 'c2', plotId: 'p2', outletId: 'middle', volumeM3: 7.5, linePosition: 2, latestOn: '2026-03-03' },
      {
        claimId: 'c3',
        plotId: 'p3',
        outletId: 'tail',
        volumeM3: 9,
        linePosition: 3,
        canNot: [{ fromHour: 0, toHour: 9.5 }],
      },
      { claimId: 'c4', plotId: 'p4', outletId: 'tail', volumeM3: 30.001, linePosition: 3 },
    ],
    pumps: [{ id: 'pump', flowM3PerHByDay: Object.fromEntries(WEEK.map((day) => [day, CLEAR_DAY])) }],
    outlets: [
      { id: 'head', pumpId: 'pump', flowM3PerH: 3.2 },
      { id: 'middle', pumpId: 'pump', flowM3PerH: 2.4 },
      { id: 'tail', pumpId: 'pump', flowM3PerH: 1.9 },
    ],
    unavailable: [{ on: '2026-03-08' }],
    rules: { minTurnMinutes: 20, changeoverMinutes: 5 },
  }
}

const closedHours = fc
  .record({
    on: fc.option(fc.constantFrom(...WEEK), { nil: undefined }),
    fromHour: fc.option(
      fc.integer({ min: 0, max: 22 }).map((half) => half / 2),
      { nil: undefined },
    ),
    hours: fc.integer({ min: 1, max: 8 }),
  })
  .map(({ on, fromHour, hours }) => ({
    on,
    fromHour,
    toHour: fromHour === undefined ? 9 : Math.min(24, fromHour + hours),
  }))

/** Weeks of every kind: several pumps, outlets together or in listed pairs, closures, late crops, too much or too little asked. */
export function randomWeeks({
  mostPumps,
  mostRows,
}: {
  mostPumps: number
  mostRows: number
}): fc.Arbitrary<TimetableInput> {
  return fc
    .record({
      days: fc.integer({ min: 1, max: 7 }),
      pumps: fc.array(
        fc.record({ size: fc.double({ min: 0, max: 3, noNaN: true }), outlets: fc.integer({ min: 1, max: 5 }) }),
        { minLength: 1, maxLength: mostPumps },
      ),
      rows: fc.array(
        fc.record({
          at: fc.nat(1000),
          plot: fc.nat(30),
          litres: fc.oneof(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 0, max: 30_000 })),
          latestOn: fc.option(fc.constantFrom('2026-02-27', ...WEEK), { nil: undefined }),
          canNot: fc.option(fc.array(closedHours, { maxLength: 2 }), { nil: undefined }),
          linePosition: fc.option(fc.integer({ min: 1, max: 6 }), { nil: undefined }),
        }),
        { maxLength: mostRows },
      ),
      outletFlows: fc.array(fc.double({ min: 0, max: 5, noNaN: true }), { minLength: 5, maxLength: 5 }),
      closures: fc.array(
        fc.record({ hours: closedHours, at: fc.nat(1000), kind: fc.constantFrom('pump', 'outlet', 'all') }),
        {
          maxLength: 3,
        },
      ),
      together: fc.option(fc.record({ atMost: fc.integer({ min: 1, max: 3 }), somePairs: fc.boolean() }), {
        nil: undefined,
      }),
      history: fc.dictionary(
        fc.nat(30).map((plot) => `plot${plot}`),
        fc.record({ noon: fc.nat(9), last: fc.nat(9) }),
      ),
      rules: fc.record({
        minTurnMinutes: fc.integer({ min: 1, max: 60 }),
        maxTurnMinutes: fc.option(fc.integer({ min: 60, max: 300 }), { nil: undefined }),
        changeoverMinutes: fc.integer({ min: 0, max: 20 }),
        gridMinutes: fc.option(fc.constantFrom(1, 5, 15), { nil: undefined }),
      }),
    })
    .map((drawn) => {
      const days = WEEK.slice(0, drawn.days)
      const pumps = drawn.pumps.map(({ size }, index) => ({
        id: `pump${index}`,
        flowM3PerHByDay: Object.fromEntries(days.map((day) => [day, CLEAR_DAY.map((flow) => flow * size)])),
      }))
      const outlets = drawn.pumps.flatMap((pump, index) =>
        drawn.outletFlows
          .slice(0, pump.outlets)
          .map((flowM3PerH, at) => ({ id: `outlet${index}-${at}`, pumpId: `pump${index}`, flowM3PerH })),
      )
      const outletAt = (at: number) => outlets[at % outlets.length]!.id
      return {
        week: { startOn: days[0]!, days },
        allocations: drawn.rows.map(({ at, plot, litres, ...row }, index) => ({
          ...row,
          claimId: `claim${index}`,
          plotId: `plot${plot}`,
          outletId: outletAt(at),
          volumeM3: litres / 1000,
        })),
        pumps,
        outlets,
        unavailable: drawn.closures.map(({ hours, at, kind }) => ({
          ...hours,
          ...(kind === 'pump' ? { pumpId: pumps[at % pumps.length]!.id } : {}),
          ...(kind === 'outlet' ? { outletId: outletAt(at) } : {}),
        })),
        together:
          drawn.together &&
          pumps.map(({ id }, index) => ({
            pumpId: id,
            atMost: drawn.together!.atMost,
            ...(drawn.together!.somePairs
              ? { pairs: [[`outlet${index}-0`, `outlet${index}-1`] as [string, string]] }
              : {}),
          })),
        history: drawn.history,
        rules: drawn.rules,
      }
    })
}
