import { expect, it } from 'vitest'
import * as crops from '../../domain/crops/index.ts'
import { GROSS, SCS_RAIN, SCS_STORAGE, SHORT_SCS_RAIN, TWO_LINE_RAIN } from './crops-tables.ts'

const within = (value: number, printed: number, tolerance: number) =>
  expect(Math.abs(value - printed)).toBeLessThanOrEqual(tolerance * (1 + 1e-9))

it.each([...TWO_LINE_RAIN, [90, 47], [5, 0], [35, 11], [75, 35]] as const)(
  'counts of %s mm in a month %s mm by the two lines',
  (rainMm, printed) => {
    within(crops.monthlyEffectiveRainMm(rainMm), printed, 0.5)
  },
)

it.each(SHORT_SCS_RAIN)('counts of %s mm in a month %s mm by the short form', (rainMm, printed) => {
  within(crops.shortScsEffectiveRainMm(rainMm), printed, 0.005)
})

it.each(SCS_RAIN)('counts of %s mm with a use of %s mm the printed %s mm', (rainMm, etcMm, printed) => {
  within(crops.scsEffectiveRainMm({ rainMm, etcMm, storageMm: 75 }), printed, 2.5)
})

it.each(SCS_STORAGE)('weighs a storage of %s mm by %s', (storageMm, printed) => {
  within(crops.scsStorageFactor(storageMm), printed, 0.015)
})

it.each(GROSS)('brings for %s mm net at %s %% to %s m2 the volume of %s m3', (netMm, percent, areaM2, printed) => {
  const likely = percent / 100
  const efficiency = { low: likely, likely, high: likely }
  const volume = crops.grossRangeM3({ etcMm: netMm, creditedRainMm: 0, etcErrorFraction: 0.15, efficiency, areaM2 })
  within(volume.likely, printed, 0.0005)
})
