import { expect, it } from 'vitest'
import { depthBeyondMm } from '../../domain/rotation/asked.ts'

// 15 m3 on 100 m2 are 150 mm, the most that a crop takes in a week.
it.each([
  [15, 100, null],
  [15.01, 100, 150.1],
  [30, 100, 300],
  [30, 200, null],
  [10, 0, null],
])('%d m3 asked for on %d m2 is more than a crop takes: %s mm', (volumeM3, areaM2, depthMm) => {
  const found = depthBeyondMm(volumeM3, areaM2)
  expect(found === null ? null : Math.round(found * 1e6) / 1e6).toBe(depthMm)
})
