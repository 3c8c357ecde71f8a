import { expect, it } from 'vitest'
import { sunErrorFraction } from '../../domain/works/tool-errors.ts'

// Common practice, no source: a tenth for each hour beyond the first, and never more than from any hour of a day to any other.
it.each([
  [0.5, 0],
  [1, 0],
  [2, 0.1],
  [3.5, 0.25],
  [4, 0.3],
  [9, 0.3],
])('gives a flow that was timed once and ran for %d h the doubt %d', (hours, doubt) => {
  expect(sunErrorFraction(hours)).toBeCloseTo(doubt, 12)
})

it('gives a flow that was timed at another time of the day the doubt of the whole day', () => {
  expect(sunErrorFraction()).toBe(0.3)
})
