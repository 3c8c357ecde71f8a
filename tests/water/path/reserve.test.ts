import { describe, expect, it } from 'vitest'
import { needsByWeir } from '../../../domain/water/path/needs.ts'
import {
  dailyDrinkingM3,
  drinkingLineM3,
  drinkingReserve,
  extraDrinkingWeeks,
} from '../../../domain/water/path/reserve.ts'
import { storageModel } from '../../../domain/water/path/store.ts'
import { storePath } from '../../../domain/water/path/store-path.ts'
import { boxBody, tank } from './tank.ts'

it('adds up what people and animals drink in a day', () => {
  const users = [
    { kind: 'person', heads: 180, litresPerHeadDay: 20 },
    { kind: 'cattle', heads: 30, litresPerHeadDay: 25 },
  ]
  expect(dailyDrinkingM3({ users })).toBeCloseTo(4.35, 9)
  expect(() => dailyDrinkingM3({ users: [{ kind: 'cattle', heads: -1, litresPerHeadDay: 25 }] })).toThrow(
    expect.objectContaining({ code: 'heads-below-zero' }),
  )
})

describe('the reserve on a day', () => {
  const on = (fromOn: string, extraWeeks = 0) =>
    drinkingReserve({ store: tank(1.3), dailyDrinkingM3: 3.2, fromOn, lateRainOn: '2025-11-15', extraWeeks })

  it('is every day of drinking and loss up to the late date of rain, and the margin above the off-take', () => {
    // 3.2 m3 drunk and 1.3 m3 lost a day over 75 days: 337.5 m3 (derived); 16 m3 lie between off-take and floor.
    expect(on('2025-09-01')).toEqual({
      reserveM3: expect.closeTo(353.5, 6),
      drinkingM3: expect.closeTo(240, 9),
      lossM3: expect.closeTo(97.5, 6),
      marginM3: expect.closeTo(16, 6),
      days: 75,
    })
    expect(on('2025-09-02').reserveM3).toBeCloseTo(349, 6)
    expect(on('2025-09-01', 4).reserveM3).toBeCloseTo(353.5 + 28 * 4.5, 6)
  })

  it('never ends: past the late date people drink on for the weeks beyond, one week at least', () => {
    expect(on('2025-12-24', 4).reserveM3).toBeCloseTo(16 + 28 * 4.5, 6)
    expect(on('2025-12-24')).toMatchObject({ days: 7, reserveM3: expect.closeTo(16 + 7 * 4.5, 6) })
  })
})

describe('the line that is kept for people and animals', () => {
  it('is the floor and every day of drinking and loss', () => {
    const lineM3 = drinkingLineM3({ store: tank(1.3), dailyDrinkingM3: 3.2, days: 75 })
    // 3.2 m3 drunk and 1.3 m3 lost a day over 75 days: 337.5 m3 above the floor of 80 (derived).
    expect(lineM3[75]).toBeCloseTo(417.5, 6)
    expect(lineM3[0]).toBeCloseTo(80, 6)
  })

  it('is just what the path needs: a hair less and drinking alone does not last', () => {
    const loss = { fallCmPerDay: 0.8, measuredAtLevelM: 101.8 }
    const store = storageModel({ body: boxBody(), offTakeLevelM: 100.2, levelErrorCm: 12, loss })
    expect(store.floorM3).toBeCloseTo(320 * 0.32, 6)
    const days = 98
    const storedM3 = drinkingLineM3({ store, dailyDrinkingM3: 2, days })[days]!
    const path = (m3: number) =>
      storePath({
        ...{ store, storedM3: m3, weekStartOn: '2025-07-01', lateRainOn: '2025-09-09', extraWeeks: 4 },
        ...{ dailyDrinkingM3: 2, needsM3: [] },
      })
    expect(path(storedM3 + 1e-3).firstDryOn).toBeNull()
    expect(path(storedM3 - 1).firstDryOn).toBe('2025-10-06')
  })
})

describe('weeks of drinking beyond the late date', () => {
  it('are those of the latest rain remembered, else four, six while guessed, less what can be fetched', () => {
    const said = { rememberedWeeks: null, fetchWeeks: 0 }
    expect(extraDrinkingWeeks({ ...said, grade: 'probed' })).toBe(4)
    expect(extraDrinkingWeeks({ ...said, grade: 'guessed' })).toBe(6)
    expect(extraDrinkingWeeks({ ...said, rememberedWeeks: 5, grade: 'calibrated' })).toBe(5)
    expect(extraDrinkingWeeks({ ...said, rememberedWeeks: 8, grade: 'guessed' })).toBe(8)
    expect(extraDrinkingWeeks({ rememberedWeeks: 5, fetchWeeks: 3, grade: 'probed' })).toBe(2)
    expect(extraDrinkingWeeks({ rememberedWeeks: 1, fetchWeeks: 3, grade: 'probed' })).toBe(0)
  })
})

describe('the need of a weir', () => {
  it('takes a plot on two weirs by its part of the outlet flow', () => {
    const found = needsByWeir({
      plots: [
        {
          needsM3: [10, 20],
          outlets: [
            { weirId: 'upper', flowM3PerH: 3 },
            { weirId: 'lower', flowM3PerH: 1 },
          ],
        },
        { needsM3: [4, 4], outlets: [{ weirId: 'lower', flowM3PerH: 2 }] },
        { needsM3: [8, 8], outlets: [] },
      ],
    })
    expect(found).toEqual(
      new Map([
        ['upper', [7.5, 15]],
        ['lower', [6.5, 9]],
      ]),
    )
  })
})
