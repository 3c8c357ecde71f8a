import fc from 'fast-check'
import type {
  TimetableAllocation,
  TimetableClosure,
  TimetableInput,
} from '../../../../domain/rotation/timetable/types.ts'

export const [MONDAY, TUESDAY] = ['2026-03-02', '2026-03-03']
export const MINUTES = Array.from({ length: 1440 }, (_, minute) => minute)
export const flowFrom = (from: number, to: number, litres: number) =>
  Array.from({ length: 24 }, (_, hour) => (hour >= from && hour < to ? (litres * 60) / 1000 : 0))

export const closure: fc.Arbitrary<TimetableClosure> = fc.record(
  {
    on: fc.constantFrom(MONDAY, TUESDAY),
    fromHour: fc.constantFrom(0, 7.5, 9, 9.25),
    toHour: fc.constantFrom(9.5, 10 + 1 / 3, 24),
    pumpId: fc.constantFrom('p', 'q'),
    outletId: fc.constantFrom('x', 'y'),
  },
  { requiredKeys: [] },
)
/** Whether some part of a minute lies in the hours of a closure that bears on a pump and an outlet on Monday. */
export const shuts = (one: TimetableClosure, minute: number, outletId?: string) =>
  (one.on ?? MONDAY) === MONDAY &&
  (one.pumpId ?? 'p') === 'p' &&
  (one.outletId === undefined || one.outletId === outletId) &&
  minute + 1 > Math.round((one.fromHour ?? 0) * 60) &&
  minute < Math.round((one.toHour ?? 24) * 60)

export const input = (more: Partial<TimetableInput> = {}): TimetableInput => ({
  ...{ week: { startOn: MONDAY, days: [MONDAY, TUESDAY] }, allocations: [], outlets: [], unavailable: [] },
  pumps: ['p', 'q'].map((id, at) => ({ id, flowM3PerHByDay: { [MONDAY]: flowFrom(8, 11 + at, 6 + at) } })),
  rules: { minTurnMinutes: 10, changeoverMinutes: 5 },
  ...more,
})
export const allocation = (more: Partial<TimetableAllocation> = {}): TimetableAllocation => ({
  claimId: 'c',
  plotId: 'c',
  outletId: 'x',
  volumeM3: 1,
  ...more,
})
