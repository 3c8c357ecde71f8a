import { expect, it } from 'vitest'
import type { Abstraction } from '../../../server/abstractions/draw/store.ts'
import { isWritten } from '../../../server/abstractions/plausibility/filling-store.ts'

const draw = { pumpId: 'heron', onDate: '2026-03-10', happenedAt: '2026-03-10T10:00:00.000Z' } as unknown as Abstraction
const gap = (code: 'gap-to-last-reading' | 'gap-to-next-reading', gapM3: number) =>
  ({ code, values: { gapM3 } }) as never
const filled = (onDate: string, filledM3: number, pumpId = 'heron') => ({ pumpId, onDate, filledM3 }) as never

it.each([
  ['a filling of the draw’s own day', 'gap-to-next-reading', 12.4, [filled('2026-03-10', 12.4)], true],
  ['a filling of the day after', 'gap-to-next-reading', 12.4, [filled('2026-03-11', 12.4)], true],
  ['the days after in a row', 'gap-to-next-reading', 20, [filled('2026-03-12', 7.6), filled('2026-03-11', 12.4)], true],
  [
    'days after, the own day’s before it',
    'gap-to-next-reading',
    7,
    [filled('2026-03-10', 5), filled('2026-03-11', 7)],
    true,
  ],
  ['a filling of the day before', 'gap-to-next-reading', 12.4, [filled('2026-03-09', 12.4)], false],
  ['another volume', 'gap-to-next-reading', 12.4, [filled('2026-03-11', 11)], false],
  ['another pump', 'gap-to-next-reading', 12.4, [filled('2026-03-11', 12.4, 'hem')], false],
  ['a filling of the draw’s own day', 'gap-to-last-reading', 12.4, [filled('2026-03-10', 12.4)], true],
  ['a filling of the day before', 'gap-to-last-reading', 12.4, [filled('2026-03-09', 12.4)], true],
  ['a filling of the day after', 'gap-to-last-reading', 12.4, [filled('2026-03-11', 12.4)], false],
] as const)('%s explains %s of %d: %j %s', (_, code, gapM3, fillings, explained) => {
  expect(isWritten(gap(code, gapM3), { draw, before: undefined, fillings, unmetered: [] })).toBe(explained)
})

// The meter before it closed at eight, and the draw begins at ten.
const before = { onDate: '2026-03-09', happenedAt: '2026-03-09T08:00:00.000Z' } as never
const stand = (happenedAt: string, volumeM3: number, uncertaintyM3 = 0) =>
  ({
    pumpId: 'heron',
    onDate: happenedAt.slice(0, 10),
    happenedAt: `${happenedAt}:00.000Z`,
    volumeM3,
    uncertaintyM3,
  }) as never

it.each([
  ['between the two readings', 2, [stand('2026-03-09T08:01', 2)], true],
  [
    'in the minute of the reading before, beside one of later',
    2,
    [stand('2026-03-09T08:00', 3), stand('2026-03-10T09:59', 2)],
    true,
  ],
  [
    'in the minute of the draw, beside one of before',
    2,
    [stand('2026-03-10T10:00', 3), stand('2026-03-10T09:59', 2)],
    true,
  ],
  ['of the day before', 2, [stand('2026-03-08T09:00', 2)], false],
  ['as far off as its doubt', 2.65, [stand('2026-03-09T12:00', 2, 0.5)], true],
  ['further off than its doubt', 2.66, [stand('2026-03-09T12:00', 2, 0.5)], false],
] as const)('water without the meter %s: a gap of %d', (_, gapM3, unmetered, explained) => {
  expect(isWritten(gap('gap-to-last-reading', gapM3), { draw, before, fillings: [], unmetered })).toBe(explained)
})
