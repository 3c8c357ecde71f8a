import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import { surveyedSandBody } from '../../../domain/water/sand/body.ts'
import { levelAfterTakingM } from '../../../domain/water/sand/level-today.ts'
import { longProfile, wetProfile } from '../../../domain/water/sand/long-profile.ts'
import { storageNow } from '../../../domain/water/sand/storage-now.ts'
import { leastCrestLevelM, leastMeasures } from '../../../domain/water/sand/unmeasured.ts'
import { boxBody } from '../path/tank.ts'

it('the level after water was taken is that of what is left, from the crest at most and down to the bed', () => {
  // 320 m3 to the metre from 100 to 102.
  const levelAfter = (waterLevelM: number, takenM3: number) =>
    levelAfterTakingM({ body: boxBody(), waterLevelM, takenM3 })
  expect(levelAfter(101, 0)).toBe(101)
  expect(levelAfter(101, 32)).toBeCloseTo(100.9, 5)
  expect(levelAfter(102.7, 32)).toBeCloseTo(101.9, 5)
  expect(levelAfter(102.7, 0)).toBe(102)
  expect(levelAfter(101, 320)).toBeCloseTo(100, 5)
  expect(levelAfter(101, 9999)).toBeCloseTo(100, 5)
})

it('what nobody measured is at the end of its span that gives the least water', () => {
  expect(leastMeasures({ crestHeightM: 2 })).toEqual({
    crestLevelM: 100,
    bedSlope: 0.1,
    offTakeAboveBedM: 1,
    markAboveCrestM: -0.5,
  })
  expect(leastMeasures({ crestHeightM: 0.6 })).toMatchObject({ offTakeAboveBedM: 0.3, markAboveCrestM: -0.3 })
  const points = [10.2, 9.8, 10.4].map((sandLevelM, at) => ({ offsetM: at, sandLevelM, bedLevelM: 9 }))
  expect(leastCrestLevelM({ chainageM: 0, points })).toBe(9.8)
})

it('what stands now is lowest by the doubted reading or this one and its error, highest so too and by a mark that may be higher', () => {
  const now = (more: object = {}) => {
    const found = storageNow({
      ...{ body: boxBody(), offTakeLevelM: 100.2, markLevelM: 102.5, today: '2025-07-02' },
      reading: {
        ...{ readOn: '2025-07-01', depthToWaterCm: 150, readHour: 6, hoursSincePumping: 12 },
      } as never,
      ...more,
    })
    if (found.cannotSay) expect.fail('not said')
    const { lowM3, likelyM3, highM3 } = found.drainable
    // 240, 320 and 400 m3 to the metre above the bed at 100.
    return {
      error: found.levelErrorCm / 100,
      heights: [lowM3 / 240, likelyM3 / 320, highM3 / 400],
      lowestM: found.lowestLevelM,
    }
  }
  const { error } = now()
  expect(error).toBeGreaterThan(0)
  const close = (...heights: number[]) => heights.map((height) => expect.closeTo(height, 6))
  expect(now().heights).toEqual(close(1 - error, 1, 1 + error))
  expect(now({ doubtedLevelM: 100.6 }).heights).toEqual(close(0.6 - error, 1, 1 + error))
  expect(now({ doubtedLevelM: 101.5 }).heights).toEqual(close(1 - error, 1, 1.5 + error))
  expect(now({ markHigherM: 0.3 }).heights).toEqual(close(1 - error, 1, 1.3 + error))
  expect(now({ doubtedLevelM: 100.6 }).lowestM).toBeCloseTo(100.6 - error, 9)
  expect(() => now({ today: addDays('2025-07-01', -1) })).toThrow('reading-after-today')
})

describe('the sand from the side', () => {
  const at = (chainageM: number, bedLevelM: number, sandLevelM: number) => ({ chainageM, bedLevelM, sandLevelM })

  it('ends at its last section where no tail was measured, and thins out to the tail where one was', () => {
    const survey = (tailChainageM: number | null) =>
      longProfile({
        body: surveyedSandBody({
          ...{ crestLevelM: 10, specificYield: specificYieldOf('medium-sand'), tailChainageM },
          sections: [0, 20].map((chainageM) => ({
            chainageM,
            points: [0, 4, 8].map((offsetM) => ({ offsetM, sandLevelM: 10, bedLevelM: offsetM === 4 ? 8 : 9.5 })),
          })),
        }),
      })
    const sections = [at(0, 8, 10), at(20, 8, 10)]
    expect(survey(null)).toEqual(sections)
    expect(survey(30)).toEqual([...sections, at(30, 10, 10)])
  })

  it('is wet to where the water meets sand or bed, those points in order and each once', () => {
    const steep = [at(0, 8, 9), at(20, 10, 10)]
    // Water at 9.5: it meets the sand half-way, the bed at three quarters.
    expect(wetProfile({ profile: steep, waterLevelM: 9.5 })).toEqual([at(0, 8, 9), at(10, 9, 9.5), at(15, 9.5, 9.5)])
    // At a level of a point itself nothing is met between.
    const three = [at(0, 8, 10), at(10, 9, 10), at(20, 10, 10)]
    expect(wetProfile({ profile: three, waterLevelM: 9 })).toEqual([at(0, 8, 9), at(10, 9, 9)])
    expect(wetProfile({ profile: three, waterLevelM: 8 })).toEqual([])
    const full = wetProfile({ profile: three, waterLevelM: 10 })
    expect(full).toEqual(three)
  })
})
