import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { daysBetween } from '../../../domain/calendar.ts'
import { storageModel } from '../../../domain/water/path/store.ts'
import { largestShare, storePath } from '../../../domain/water/path/store-path.ts'
import { boxBody, tank } from './tank.ts'

type StorePathInput = Parameters<typeof storePath>[0]

/** Ten weeks to the late date, four beyond; 1 m3 drunk a day; 560 m3 above the floor of 80. */
const input = (more: Partial<StorePathInput> = {}): StorePathInput => ({
  store: tank(),
  storedM3: 640,
  weekStartOn: '2025-07-01',
  lateRainOn: '2025-09-09',
  extraWeeks: 4,
  dailyDrinkingM3: 1,
  needsM3: Array.from({ length: 10 }, () => 60),
  ...more,
})

describe('the path of the store, reckoned by hand', () => {
  it('gives every week the same part of its need', () => {
    // 560 - 14 weeks x 7 = 462 for crops that ask 600: 77 parts of a hundred, so 46.2 and the week's 7 for drinking.
    const path = storePath(input())
    expect(path.share).toBeCloseTo(0.77, 4)
    expect(path.releaseM3).toBeCloseTo(53.2, 2)
    expect(path).toMatchObject({
      heldBy: 'path',
      firstDryOn: null,
      keepUntilOn: '2025-10-07',
      availableM3: expect.closeTo(576, 6),
    })
    expect(path.weeks).toHaveLength(14)
    expect(path.weeks[13]!.cropsM3).toBe(0)
  })

  it('adds up: all above the floor is drunk, lost, given now, given later or left', () => {
    const { parts } = storePath(input({ store: tank(0.5) }))
    expect(parts.aboveFloorM3).toBeCloseTo(560, 6)
    expect(parts.drinkingM3).toBeCloseTo(98, 6)
    expect(parts.lossM3).toBeCloseTo(49, 6)
    expect(parts.cropsM3 + parts.laterCropsM3).toBeCloseTo(413, 2)
    const { aboveFloorM3, ...spent } = parts
    expect(Object.values(spent).reduce((sum, part) => sum + part, 0)).toBeCloseTo(aboveFloorM3, 6)
  })

  it('tells what the sand would take of this week’s water if it stayed there', () => {
    // Loss by head alone, 0.5 m3 a day at the full 640: each day a part 1/1280 of what stands. Water drawn on the days 0 to 6
    // would lie there for 97 to 91 days more, and q^n of it would be left: the sum is a geometric series.
    const store = { ...tank(), lossM3: Float64Array.from({ length: 401 }, (_, cell) => cell / 800) }
    const path = storePath(input({ store }))
    const { cropsM3 } = path.parts
    const q = 1 - 1 / 1280
    const left = Array.from({ length: 7 }, (_, day) => q ** (97 - day)).reduce((sum, part) => sum + part, 0) / 7
    expect(path.lostIfLeftM3).toBeCloseTo(cropsM3 * (1 - left), 6)
    expect(path.lostIfLeftM3 / cropsM3).toBeCloseTo(0.071, 3)
    expect(storePath(input()).lostIfLeftM3).toBeCloseTo(0, 6)
  })

  it('gives the whole need where that leaves water over', () => {
    const path = storePath(input({ needsM3: [30, 30] }))
    expect(path).toMatchObject({ share: 1, heldBy: 'need' })
    expect(path.releaseM3).toBeCloseTo(37, 6)
    expect(path.parts.leftM3).toBeCloseTo(560 - 98 - 60, 6)
  })

  it('releases drinking water alone where nothing is asked for', () => {
    expect(storePath(input({ needsM3: [] })).releaseM3).toBeCloseTo(7, 6)
  })

  it('gives more now when later weeks ask for less, without taking from them', () => {
    const early = storePath(input({ needsM3: [60, 60, 60, 60, 60, 0, 0, 0, 0, 0] }))
    expect(early.share).toBe(1)
    expect(early.parts.leftM3).toBeCloseTo(560 - 98 - 300, 6)
  })

  it('names the first dry day where even drinking alone does not last', () => {
    // 100 - 80 = 20 m3 above the floor: twenty days of drinking, dry on the twenty-first.
    const path = storePath(input({ storedM3: 100 }))
    expect(path).toMatchObject({ share: 0, heldBy: 'drinking-only', firstDryOn: '2025-07-21' })
    expect(path.releaseM3).toBeCloseTo(7, 6)
    // 68 - 64 = 4 m3 above the off-take, already under the floor.
    const last = storePath(input({ storedM3: 68 }))
    expect(last).toMatchObject({ heldBy: 'drinking-only', firstDryOn: '2025-07-01' })
    expect(last.releaseM3).toBeCloseTo(4, 6)
    expect(storePath(input({ storedM3: 50 }))).toMatchObject({ releaseM3: 0, heldBy: 'nothing-above-off-take' })
  })

  it('lets people drink on once the late date is past', () => {
    // 28 days of drinking are kept from whichever day it is: 560 - 28 = 532 carry this week's 60.
    const path = storePath(input({ weekStartOn: '2025-10-01' }))
    expect(path).toMatchObject({ share: 1, keepUntilOn: '2025-10-29' })
    const short = storePath(input({ weekStartOn: '2025-10-01', storedM3: 80 + 28 + 30 }))
    expect(short.share).toBeCloseTo(0.5, 4)
  })

  it('waters to the day before the late date, not to the end of its week', () => {
    // Eight days: one week whole and a seventh of the next.
    const path = storePath(
      input({ lateRainOn: '2025-07-09', extraWeeks: 1, storedM3: 80 + 15 + 7 + 1, needsM3: [7, 7] }),
    )
    expect(path.share).toBeCloseTo(1, 6)
    expect(path.weeks.map((week) => week.cropsM3)).toEqual([expect.closeTo(7, 6), expect.closeTo(1, 6), 0])
  })

  it('follows a week of five days', () => {
    const path = storePath(input({ daysInWeek: 5, needsM3: [50] }))
    expect(path.releaseM3).toBeCloseTo(55, 6)
    expect(path.weeks[1]!.fromOn).toBe('2025-07-06')
  })
})

describe('a rise of the share', () => {
  const shareAfter = (share: number, weeksAgo = 1) => storePath(input({ before: { share, weeksAgo } }))

  it('is a fifth a week or to a tenth, and a fall is free', () => {
    expect(shareAfter(0.5)).toMatchObject({ share: expect.closeTo(0.6, 9), heldBy: 'rise' })
    expect(shareAfter(0.5).bearableShare).toBeCloseTo(0.77, 4)
    expect(shareAfter(0.5, 2).share).toBeCloseTo(0.72, 9)
    expect(shareAfter(0).share).toBeCloseTo(0.1, 9)
    expect(shareAfter(1)).toMatchObject({ share: expect.closeTo(0.77, 4), heldBy: 'path' })
  })
})

describe('the ground that a weir carries', () => {
  it('is the largest multiple of the need of one square metre', () => {
    // 462 m3 over ten weeks at 0.06 m3 each.
    const needsM3 = Array.from({ length: 10 }, () => 0.06)
    expect(largestShare(input({ needsM3 }), 10_000)).toBeCloseTo(770, 0)
    expect(largestShare(input({ needsM3, storedM3: 100 }), 10_000)).toBe(-1)
  })
})

describe('whatever the weir and the season', () => {
  const weir = fc.record({
    storedM3: fc.double({ min: 0, max: 640, noNaN: true }),
    fallCmPerDay: fc.option(fc.double({ min: -1, max: 4, noNaN: true })),
    measuredAtLevelM: fc.double({ min: 100, max: 102, noNaN: true }),
    rise: fc.double({ min: 1, max: 4, noNaN: true }),
    dailyDrinkingM3: fc.double({ min: 0, max: 6, noNaN: true }),
    extraWeeks: fc.integer({ min: 0, max: 8 }),
    needsM3: fc.array(fc.double({ min: 0, max: 200, noNaN: true }), { maxLength: 12 }),
  })
  const pathOf = ({
    fallCmPerDay,
    measuredAtLevelM,
    rise,
    ...rest
  }: typeof weir extends fc.Arbitrary<infer W> ? W : never) => {
    const store = storageModel({
      body: boxBody(),
      offTakeLevelM: 100.2,
      rise,
      loss: { fallCmPerDay, measuredAtLevelM },
    })
    return { store, path: storePath(input({ ...rest, store })) }
  }

  it('the path stays above its floor unless drinking alone does not', () => {
    fc.assert(
      fc.property(weir, (given) => {
        const { store, path } = pathOf(given)
        if (path.firstDryOn) expect(path.share).toBe(0)
        else for (const week of path.weeks) expect(week.storedM3).toBeGreaterThanOrEqual(store.floorM3 - 1e-6)
        expect(path.parts.leftM3 >= -1e-6).toBe(path.firstDryOn === null)
        expect(path.releaseM3).toBeLessThanOrEqual(path.availableM3 + 1e-9)
      }),
    )
  })

  it('more water never gives a smaller share, more drinking or a stronger loss never a larger one', () => {
    fc.assert(
      fc.property(weir, (given) => {
        const { path } = pathOf(given)
        const hair = 1e-5
        expect(pathOf({ ...given, storedM3: Math.min(640, given.storedM3 + 20) }).path.share).toBeGreaterThanOrEqual(
          path.share - hair,
        )
        expect(pathOf({ ...given, dailyDrinkingM3: given.dailyDrinkingM3 + 0.5 }).path.share).toBeLessThanOrEqual(
          path.share + hair,
        )
        expect(pathOf({ ...given, rise: given.rise + 0.5 }).path.share).toBeLessThanOrEqual(path.share + hair)
        expect(pathOf({ ...given, extraWeeks: given.extraWeeks + 1 }).path.share).toBeLessThanOrEqual(path.share + hair)
      }),
    )
  })
})

describe('weeks of several lengths', () => {
  it('each have the drinking water of their days, and their own need and no other', () => {
    const path = storePath(input({ daysInWeek: [2, 5, 8], needsM3: [4, 50, 80, 16] }))
    const { weeks } = path
    const starts = weeks.slice(0, 4).map(({ fromOn }) => daysBetween(weeks[0]!.fromOn, fromOn))
    expect(starts).toEqual([0, 2, 7, 15])
    const dailyM3 = weeks[0]!.drinkingM3 / 2
    expect(weeks.slice(0, 4).map(({ drinkingM3 }) => drinkingM3 / dailyM3)).toEqual(
      [2, 5, 8, 8].map((days) => expect.closeTo(days, 9)),
    )
    expect(weeks.slice(0, 4).map(({ cropsM3 }) => cropsM3)).toEqual(
      [4, 50, 80, 16].map((m3) => expect.closeTo(path.share * m3, 9)),
    )
    expect(path.releaseM3).toBeCloseTo(2 * dailyM3 + path.share * 4, 9)
  })
})
