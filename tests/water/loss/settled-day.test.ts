import { expect, it } from 'vitest'
import { storeLoss } from '../../../server/water/storage/loss.ts'
import { boxBody } from '../path/tank.ts'

const DAY = '2026-06-10'
const readings = [
  { readOn: '2026-06-09', waterLevelM: 101 },
  { readOn: DAY, waterLevelM: 100.5 },
  { readOn: '2026-06-11', waterLevelM: 100 },
]
const rest = { fromOn: DAY, days: 7, fallCm: 7, startLevelM: 101.4, endLevelM: 101.33 }
const loss = (lossSettledOn: string, more: object) =>
  storeLoss({ survey: { lossCmPerDay: 2, lossSettledOn }, body: boxBody(), readings, openWaterMm: 5, ...more } as never)

it('a settled fall is that of the level read on the very day, of the last before it or, before all, of the first', () => {
  const settledAt = (on: string) => loss(on, { rests: [] })
  expect(settledAt(DAY)).toEqual({ fallCmPerDay: 2, measuredAtLevelM: 100.5 })
  expect(settledAt('2026-06-12')).toEqual({ fallCmPerDay: 2, measuredAtLevelM: 100 })
  expect(settledAt('2026-06-01')).toEqual({ fallCmPerDay: 2, measuredAtLevelM: 101 })
})

it('counts like a rest of four days beside those that began on that day or later, and not beside older ones', () => {
  // Two centimetres a day over four days are eight, about the level of that day.
  const before = { startLevelM: expect.closeTo(100.54, 9), endLevelM: expect.closeTo(100.46, 9), days: 4 }
  expect(loss(DAY, { rests: [rest] })).toEqual({ rests: [before, rest], openWaterMm: 5 })
  expect(loss('2026-06-11', { rests: [rest] })).toEqual({ rests: [rest], openWaterMm: 5 })
})
