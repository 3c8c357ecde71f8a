import { describe, expect, it } from 'vitest'
import { specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import { storageModel } from '../../../domain/water/path/store.ts'
import { storageNow } from '../../../domain/water/sand/storage-now.ts'
import { HIGHEST_MARK_M, leastMeasures, UNMEASURED_SAND } from '../../../domain/water/sand/unmeasured.ts'
import { bodyOf, levelsOf, spanOfUnmeasured } from '../../../server/water/sand/description.ts'

const DAY = '2026-06-04'
const SHAPES = ['rectangle', 'parabola', 'triangle'] as const
/** What the stick may read, cm below the mark, from a full weir to an empty one. */
const READINGS_CM = [0, 30, 60, 100, 160, 240]

const WALL = { crestHeightM: 2, crestWidthM: 15, valleyShape: 'parabola', sandType: 'medium-sand' } as const
type Known = { crestLevelM: number; bedSlope: number; offTakeAboveBedM: number; markAboveCrestM: number }

function described(
  known: Known,
  wall: Omit<typeof WALL, 'valleyShape' | 'crestHeightM'> & {
    valleyShape: (typeof SHAPES)[number]
    crestHeightM: number
  },
  unmeasured: readonly (typeof UNMEASURED_SAND)[number][],
) {
  const { bedSlope, ...levels } = known
  const { crestHeightM, ...rest } = wall
  const tape = { ...rest, bedSlope }
  const head = {
    entryId: 'a',
    seq: 1,
    weirId: 'w',
    fromOn: DAY,
    change: 'survey',
    surveyId: 'a',
    surveyedOn: DAY,
    lossSettledOn: DAY,
  } as const
  return { ...head, ...levels, crestHeightM, lossCmPerDay: null, tape, probed: null, table: null, unmeasured }
}

type Described = ReturnType<typeof described>

function waterOf(sand: Described, depthToWaterCm: number) {
  const reading = { readOn: DAY, readHour: 6, depthToWaterCm, hoursSincePumping: 10 }
  const { offTakeLevelM, markLevelM } = levelsOf(sand)
  const now = storageNow({
    body: bodyOf(sand),
    offTakeLevelM,
    markLevelM,
    ...spanOfUnmeasured(sand),
    reading,
    today: DAY,
  })
  if (now.cannotSay) throw new Error('a reading and a body say something')
  return now
}

/** Every figure that nobody measured, over its whole span. */
const SPANS: Record<keyof Known, (crestHeightM: number) => number[]> = {
  bedSlope: () => [0.005, 0.01, 0.02, 0.04, 0.07, 0.1],
  offTakeAboveBedM: (heightM) => [0, 0.1, 0.25, 0.5].map((part) => part * heightM),
  markAboveCrestM: (heightM) => [Math.max(-0.5, -heightM / 2), 0, 0.3, HIGHEST_MARK_M],
  crestLevelM: () => [-20, 0, 100, 1500],
}
const FIGURE: Record<keyof Known, (typeof UNMEASURED_SAND)[number]> = {
  bedSlope: 'bed-slope',
  offTakeAboveBedM: 'off-take',
  markAboveCrestM: 'mark',
  crestLevelM: 'crest-level',
}

describe('a weir of which something is not measured', () => {
  it.each([...SHAPES.flatMap((shape) => [0.6, 2, 4].map((heightM) => [shape, heightM] as const))])(
    'never shows more water than it would with the measure, %s, %d m deep',
    (valleyShape, crestHeightM) => {
      const wall = { ...WALL, valleyShape, crestHeightM }
      const measured: Known = {
        crestLevelM: 100,
        bedSlope: 0.02,
        offTakeAboveBedM: 0.2 * crestHeightM,
        markAboveCrestM: 0.2,
      }
      let compared = 0
      for (const name of Object.keys(SPANS) as (keyof Known)[]) {
        const least = { ...measured, [name]: leastMeasures({ crestHeightM })[name] }
        const unknown = described(least, wall, [FIGURE[name]])
        for (const value of SPANS[name](crestHeightM)) {
          const known = described({ ...measured, [name]: value }, wall, [])
          for (const depthCm of READINGS_CM) {
            const [guess, truth] = [waterOf(unknown, depthCm).available, waterOf(known, depthCm).available]
            expect(guess.lowM3).toBeLessThanOrEqual(truth.lowM3 + 1e-9)
            expect(guess.likelyM3).toBeLessThanOrEqual(truth.likelyM3 + 1e-9)
            expect(guess.highM3).toBeGreaterThanOrEqual(truth.highM3 - 1e-9)
            compared += 1
          }
        }
      }
      expect(compared).toBe(18 * READINGS_CM.length)
    },
  )

  it('gives a plan no more to step down by either, all four not known at once', () => {
    const { crestHeightM } = WALL
    const unknown = described(leastMeasures({ crestHeightM }), WALL, UNMEASURED_SAND)
    for (const bedSlope of SPANS.bedSlope(crestHeightM)) {
      for (const offTakeAboveBedM of SPANS.offTakeAboveBedM(crestHeightM)) {
        const known = described({ crestLevelM: 50, bedSlope, offTakeAboveBedM, markAboveCrestM: 0.3 }, WALL, [])
        expect(aboveFloorM3(unknown)).toBeLessThanOrEqual(aboveFloorM3(known) + 1e-9)
      }
    }
  })

  it('is drawn at its right length: a known slope widens nothing', () => {
    const known = described({ crestLevelM: 100, bedSlope: 0.02, offTakeAboveBedM: 0, markAboveCrestM: 0 }, WALL, [])
    expect(spanOfUnmeasured(known)).toEqual({})
    // A dish: 4/15 of width, depth and length (geometry of a wedge) of medium sand, 26 per cent (Johnson 1967).
    const fullM3 = (4 / 15) * 15 * 2 * (2 / 0.02) * specificYieldOf('medium-sand').likely
    expect(waterOf(known, 0).available.likelyM3).toBeCloseTo(fullM3, 6)
  })
})

/** What stands above the floor of a full store, m3. */
function aboveFloorM3(sand: Described): number {
  const body = bodyOf(sand)
  const { offTakeLevelM } = levelsOf(sand)
  const store = storageModel({ body, offTakeLevelM, levelErrorCm: 2, loss: { dailyM3: 0 } })
  return store.capacityM3 - store.floorM3
}
