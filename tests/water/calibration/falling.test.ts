import { describe, expect, it } from 'vitest'
import {
  at,
  factoredCurve,
  fallByLossM,
  fallingLevelsM,
  gridCurve,
  type Sought,
} from '../../../domain/water/calibration/falling.ts'
import { type CalibrationStretch, dryRuns } from '../../../domain/water/calibration/runs.ts'
import { sandEvaporationShare } from '../../../domain/water/loss/sand-evaporation.ts'
import { boxBody } from '../path/tank.ts'

// A box of 320 m3 to the metre over a bed at 100 m, 2 m high, of yield 0.25: 5 mm of open water are 2 cm of level, and a centimetre is 3.2 m3.
const CURVE = gridCurve(boxBody(), 5)
const sought = (more: Partial<Sought> = {}): Sought => ({
  factors: [1],
  evaporation: 0,
  dryingDepth: 1,
  leak: 0,
  ...more,
})
const heights = (startM: number, stretches: { days: number; netDrawnM3: number }[], more: Partial<Sought> = {}) =>
  fallingLevelsM(CURVE, [{ levelsM: [], stretches }], sought(more), [startM]).map((levelM) => levelM - 100)
const near = (values: number[]) => values.map((value) => expect.closeTo(value, 9))

describe('the grid of a weir', () => {
  it('has a cell for each centimetre, with what stands under it and what a leak of all would take', () => {
    expect([CURVE.bedM, CURVE.stepM, CURVE.storedM3.length, CURVE.openWaterM]).toEqual(near([100, 0.01, 201, 0.02]))
    for (const cell of [0, 1, 50, 200]) {
      expect(CURVE.storedM3[cell]).toBeCloseTo(3.2 * cell, 9)
      // All that stands in the box at full head, less as the head is less, over 320 m3 to the metre.
      expect(CURVE.leakM[cell]).toBeCloseTo(cell / 100, 9)
    }
  })

  it('is read in straight lines between its cells, and at its ends beyond them', () => {
    const levels = [99, 100, 100.005, 101.2345, 102, 103].map((levelM) => at(CURVE, CURVE.storedM3, levelM))
    expect(levels).toEqual(near([0, 0, 1.6, 395.04, 640, 640]))
  })

  it('rises by each band’s own factor, all bands equally high', () => {
    const factored = factoredCurve(CURVE, [0.5, 2])
    expect([0, 50, 100, 101, 200].map((cell) => factored[cell]!)).toEqual(near([0, 80, 160, 166.4, 800]))
    const thirds = factoredCurve(CURVE, [1, 3, 1])
    expect(thirds[67]).toBeCloseTo(67 * 3.2, 9)
    expect(thirds[200]).toBeCloseTo((200 + 2 * 66) * 3.2, 9)
  })
})

describe('the fall of a level in a day', () => {
  it('is evaporation by the depth, as far as the sand draws it, and leak by the head', () => {
    const lost = (more: Partial<Sought>, cell: number) => fallByLossM(CURVE, sought(more))[cell]!
    for (const cell of [200, 180, 140, 60]) {
      const depthM = (200 - cell) / 100
      expect(lost({ evaporation: 1.5 }, cell)).toBeCloseTo(
        1.5 * 0.02 * sandEvaporationShare({ waterTableDepthM: depthM })!,
        9,
      )
      expect(lost({ evaporation: 1, dryingDepth: 2 }, cell)).toBeCloseTo(
        0.02 * sandEvaporationShare({ waterTableDepthM: depthM / 2 })!,
        9,
      )
      expect(lost({ leak: 0.01 }, cell)).toBeCloseTo(0.01 * (cell / 100), 9)
      expect(lost({ evaporation: 1, leak: 0.01 }, cell)).toBeCloseTo(
        lost({ evaporation: 1 }, cell) + 0.01 * (cell / 100),
        9,
      )
    }
  })
})

describe('the levels that a book should show', () => {
  it('stay at the bed while nothing is in it and nothing drawn, also where the lowest sand gives no water', () => {
    const row = (levelM: number, m3: number) => ({ levelM, lowM3: m3, likelyM3: m3, highM3: m3 })
    const curve = gridCurve({ ...boxBody(), table: [row(100, 0), row(100.5, 0), row(102, 480)] }, 5)
    const runs = [{ levelsM: [], stretches: [{ days: 2, netDrawnM3: 0 }] }]
    expect(fallingLevelsM(curve, runs, sought(), [100])).toEqual([100, 100])
  })

  it('fall by what is drawn, less where the sand holds more', () => {
    expect(
      heights(101.5, [
        { days: 3, netDrawnM3: 9.6 },
        { days: 1, netDrawnM3: 32 },
      ]),
    ).toEqual(near([1.5, 1.47, 1.37]))
    expect(heights(101.5, [{ days: 3, netDrawnM3: 9.6 }], { factors: [2] })).toEqual(near([1.5, 1.485]))
    // Over a border of bands: 16 m3 of the upper double one count 32, so that 64 take all of it and 32 from below.
    expect(heights(101.05, [{ days: 1, netDrawnM3: 64 }], { factors: [1, 2] })).toEqual(near([1.05, 0.9]))
    expect(heights(101.5, [{ days: 2, netDrawnM3: -6.4 }])).toEqual(near([1.5, 1.52]))
  })

  it('fall by a leak of the head day by day, after what is drawn', () => {
    expect(
      heights(
        101,
        [
          { days: 4, netDrawnM3: 0 },
          { days: 1, netDrawnM3: 0 },
        ],
        { leak: 0.01 },
      ),
    ).toEqual(near([1, 0.99 ** 4, 0.99 ** 5]))
    expect(heights(101, [{ days: 1, netDrawnM3: 32 }], { leak: 0.01 })).toEqual(near([1, 0.9 * 0.99]))
  })

  it('go on below the bed, so that too small a store is felt, and begin anew with each run', () => {
    expect(heights(100.01, [{ days: 1, netDrawnM3: 6.4 }])).toEqual(near([0.01, -0.01]))
    const one = { levelsM: [], stretches: [{ days: 1, netDrawnM3: 3.2 }] }
    expect(fallingLevelsM(CURVE, [one, one], sought(), [101, 100.5])).toEqual(near([101, 100.99, 100.5, 100.49]))
  })
})

it('dry stretches make a run as long as each begins where the last ended', () => {
  const stretch = (from: number, more: Partial<CalibrationStretch> = {}): CalibrationStretch => ({
    ...{ fromOn: `2026-07-0${from}`, toOn: `2026-07-0${from + 1}`, days: 1, kind: 'dry', openingLevelM: 10 * from },
    ...{
      closingLevelM: 10 * from + 1,
      drawnM3: 100,
      spilledM3: 20,
      leakFromAboveM3: 3,
      spillFromAboveM3: 0.4,
      ...more,
    },
  })
  const runs = dryRuns([
    stretch(1),
    stretch(2, { drawnM3: 50 }),
    stretch(4),
    stretch(5, { kind: 'wet' }),
    stretch(6),
    stretch(7, { kind: 'not-reckoned' }),
  ])
  expect(runs.map(({ levelsM }) => levelsM)).toEqual([
    [10, 11, 21],
    [40, 41],
    [60, 61],
  ])
  expect(runs[0]!.stretches).toEqual([
    { days: 1, netDrawnM3: expect.closeTo(116.6, 9) },
    { days: 1, netDrawnM3: expect.closeTo(66.6, 9) },
  ])
  expect(dryRuns([])).toEqual([])
})
