import { expect, it } from 'vitest'
import { combinedToleranceM3 } from '../../../domain/water/balance/stretches.ts'

it('what can be hidden is the end of the yield that would explain it, beside level and meter at right angles', () => {
  const hidden = (unexplainedM3: number, [yieldLowM3, yieldHighM3]: [number, number], levelM3 = 0, meterM3 = 0) =>
    combinedToleranceM3({ yieldLowM3, yieldHighM3, levelM3, meterM3 }, unexplainedM3)
  // Less yield explains what is missing, more yield what is over; of nothing either may hide the larger.
  expect([hidden(1, [-3, 4]), hidden(-1, [-3, 4]), hidden(0, [-3, 4]), hidden(0, [-5, 4])]).toEqual([3, 4, 4, 5])
  expect([hidden(1, [4, -3]), hidden(-1, [4, -3])]).toEqual([3, 4])
  expect([hidden(1, [2, 4]) + 0, hidden(-1, [-3, -2]) + 0]).toEqual([0, 0])
  expect(hidden(1, [-3, 99], 4, 12)).toBeCloseTo(13, 12)
})
