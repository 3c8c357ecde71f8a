import { expect, it } from 'vitest'
import { grossRangeM3 } from '../../domain/crops/need/gross-range.ts'
import { GROSS } from './crops-tables.ts'

const within = (value: number, printed: number, tolerance: number) =>
  expect(Math.abs(value - printed)).toBeLessThanOrEqual(tolerance * (1 + 1e-9))

it.each(GROSS)('brings for %s mm net at %s %% to %s m2 the volume of %s m3', (netMm, percent, areaM2, printed) => {
  const likely = percent / 100
  const efficiency = { low: likely, likely, high: likely }
  const depthMm = { low: 0.85 * netMm, likely: netMm, high: 1.15 * netMm }
  const volume = grossRangeM3({ netMm: depthMm, efficiency, areaM2 })
  within(volume.likely, printed, 0.0005)
})
