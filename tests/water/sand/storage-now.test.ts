import { describe, expect, it } from 'vitest'
import { specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import { readingDoubt, waterLevelFromReadingM } from '../../../domain/water/level.ts'
import { wedgeSandBody } from '../../../domain/water/sand/body.ts'
import { type KnownStorage, type StorageNow, storageNow } from '../../../domain/water/sand/storage-now.ts'

const body = wedgeSandBody({
  crestHeightM: 2,
  crestWidthM: 15,
  bedSlope: 0.02,
  valleyShape: 'rectangle',
  crestLevelM: 100,
  specificYield: specificYieldOf('medium-sand'),
})
const dawn = { readOn: '2025-07-03', readHour: 6, depthToWaterCm: 150, hoursSincePumping: 12 }
const weir = { body, offTakeLevelM: 98.4, markLevelM: 100.5, today: '2025-07-04' }

function known(storage: StorageNow): KnownStorage {
  if (storage.cannotSay) expect.fail(`cannot say: ${storage.cannotSay.join()}`)
  return storage
}

it('turns centimetres below the mark into a level', () => {
  expect(waterLevelFromReadingM({ markLevelM: 100.5, depthToWaterCm: 150 })).toBe(99)
  expect(waterLevelFromReadingM({ markLevelM: 100.5, depthToWaterCm: -10 })).toBeCloseTo(100.6, 9)
})

describe('the doubt of a reading', () => {
  it('is two centimetres at dawn with the pump long off', () => {
    expect(readingDoubt({ readHour: 6, hoursSincePumping: 8, ageDays: 10 })).toEqual({
      levelErrorCm: 2,
      extraLevelErrorCm: 0,
      reasons: [],
    })
  })

  it.each([
    [{ readHour: 6, hoursSincePumping: 'running' as const, ageDays: 0 }, 10, ['read-while-pumping']],
    [{ readHour: 6, hoursSincePumping: 0, ageDays: 0 }, 5, ['read-soon-after-pumping']],
    [{ readHour: 6, hoursSincePumping: 5, ageDays: 0 }, 5, ['read-soon-after-pumping']],
    [{ readHour: 6, hoursSincePumping: null, ageDays: 0 }, 5, ['pump-off-unknown']],
    [{ readHour: 12, hoursSincePumping: 20, ageDays: 0 }, 3, ['read-in-the-day']],
    [{ readHour: 6, hoursSincePumping: 20, ageDays: 21 }, 13, ['reading-old']],
    [
      { readHour: 12, hoursSincePumping: 'running' as const, ageDays: 11 },
      12,
      ['read-while-pumping', 'read-in-the-day', 'reading-old'],
    ],
  ])('of %j is %s cm, with its reasons', (circumstances, levelErrorCm, reasons) => {
    expect(readingDoubt(circumstances)).toEqual({ levelErrorCm, extraLevelErrorCm: levelErrorCm - 2, reasons })
  })

  it('refuses an hour that no day has', () => {
    expect(() => readingDoubt({ readHour: 25, hoursSincePumping: 9, ageDays: 0 })).toThrow(
      expect.objectContaining({ code: 'hour-not-in-day' }),
    )
  })
})

describe('storage now', () => {
  it('goes through the curve, with both the doubt of the sand and of the level in the range', () => {
    const storage = known(storageNow({ ...weir, reading: dawn }))
    // A box wedge 2 m deep of 1500 m3 holds the square of the depth's share: (1/2)^2 at 1 m, (0.4/2)^2 below the off-take.
    expect(storage.waterLevelM).toBe(99)
    expect(storage.drainable.likelyM3).toBeCloseTo(1500 * 0.25 * 0.26, 6)
    expect(storage.handDrawn.likelyM3).toBeCloseTo(1500 * 0.04 * 0.26, 6)
    expect(storage.available.likelyM3).toBeCloseTo(1500 * 0.21 * 0.26, 6)
    // The yield is 0.15 to 0.32 and the shape holds half to twice: √(ln² 2 + ln² 0.577) = 0.8848, √(ln² 2 + ln² 1.231) = 0.7235.
    expect(storage.available.lowM3 / (390 * Math.exp(-0.8848) * (0.49 ** 2 - 0.2 ** 2))).toBeCloseTo(1, 3)
    expect(storage.available.highM3 / (390 * Math.exp(0.7235) * (0.51 ** 2 - 0.2 ** 2))).toBeCloseTo(1, 3)
    expect(storage).toMatchObject({ grade: 'guessed', ageDays: 1, aboveCrest: false, reasons: [], levelErrorCm: 2 })
  })

  it('is far from a straight percentage: half the depth is a quarter of the water', () => {
    const full = known(storageNow({ ...weir, reading: { ...dawn, depthToWaterCm: 50 } }))
    const half = known(storageNow({ ...weir, reading: dawn }))
    expect(half.drainable.likelyM3 / full.drainable.likelyM3).toBeCloseTo(0.25, 9)
  })

  it('widens and says why when the reading is old or was taken while pumping', () => {
    const fresh = known(storageNow({ ...weir, reading: dawn }))
    const old = known(storageNow({ ...weir, reading: { ...dawn, hoursSincePumping: 'running' }, today: '2025-07-24' }))
    expect(old.reasons).toEqual(['read-while-pumping', 'reading-old'])
    expect(old.available.lowM3).toBeLessThan(fresh.available.lowM3)
    expect(old.available.highM3).toBeGreaterThan(fresh.available.highM3)
    expect(old.available.likelyM3).toBe(fresh.available.likelyM3)
  })

  it('accepts a level above the crest, counts it as full and flags it', () => {
    const storage = known(storageNow({ ...weir, reading: { ...dawn, depthToWaterCm: 20 } }))
    expect(storage.aboveCrest).toBe(true)
    expect(storage.reasons).toContain('above-crest')
    expect(storage.drainable.likelyM3).toBeCloseTo(1500 * 0.26, 6)
  })

  it('cannot say without a reading or without a description of the weir', () => {
    expect(storageNow({ ...weir, reading: null })).toEqual({ cannotSay: ['no-reading'] })
    expect(storageNow({ ...weir, body: null, reading: null })).toEqual({ cannotSay: ['no-body', 'no-reading'] })
  })

  it('refuses a reading dated after today', () => {
    expect(() => storageNow({ ...weir, reading: dawn, today: '2025-07-02' })).toThrow(
      expect.objectContaining({ code: 'reading-after-today' }),
    )
  })
})
