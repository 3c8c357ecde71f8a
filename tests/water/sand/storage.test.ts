import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { InputError } from '../../../domain/input-error.ts'
import { specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import {
  type SandBody,
  surveyedSandBody,
  wedgeSandBody,
  withLevelVolumeTable,
} from '../../../domain/water/sand/body.ts'
import {
  availableStorageM3,
  drainableStorageM3,
  saturatedVolumeM3,
  stageStorageCurve,
  waterLevelForStorageM,
} from '../../../domain/water/sand/storage.ts'

const mediumSand = specificYieldOf('medium-sand')

const wedge = fc
  .record({
    crestHeightM: fc.double({ min: 0.5, max: 4, noNaN: true }),
    crestWidthM: fc.double({ min: 3, max: 60, noNaN: true }),
    bedSlope: fc.double({ min: 0.004, max: 0.06, noNaN: true }),
    flatness: fc.double({ min: 0, max: 0.8, noNaN: true }),
    bottomShare: fc.double({ min: 0, max: 1, noNaN: true }),
    valleyShape: fc.constantFrom('rectangle' as const, 'parabola' as const, 'triangle' as const, 'trapezoid' as const),
    crestLevelM: fc.double({ min: -50, max: 1200, noNaN: true }),
    topLayerM: fc.option(fc.double({ min: 0.1, max: 1, noNaN: true }), { nil: null }),
  })
  .map(
    ({ flatness, bottomShare, topLayerM, ...measures }): SandBody =>
      wedgeSandBody({
        ...measures,
        sandSlope: flatness * measures.bedSlope,
        bottomWidthM: bottomShare * measures.crestWidthM,
        layers:
          topLayerM === null
            ? [{ toDepthM: null, specificYield: mediumSand }]
            : [
                { toDepthM: topLayerM, specificYield: specificYieldOf('coarse-sand') },
                { toDepthM: null, specificYield: specificYieldOf('silt') },
              ],
      }),
  )

const survey = fc
  .array(
    fc.array(fc.tuple(fc.double({ min: 0.2, max: 3, noNaN: true }), fc.double({ min: 0, max: 0.3, noNaN: true })), {
      minLength: 3,
      maxLength: 7,
    }),
    {
      minLength: 2,
      maxLength: 5,
    },
  )
  .map(
    (sections): SandBody =>
      surveyedSandBody({
        sections: sections.map((probes, i) => ({
          chainageM: 15 * i,
          points: probes.map(([depthM, humpM], j) => ({
            offsetM: 2.5 * j,
            sandLevelM: 20 + humpM,
            bedLevelM: 20 - depthM,
          })),
        })),
        tailChainageM: 15 * sections.length,
        crestLevelM: 20,
        specificYield: mediumSand,
      }),
  )

const anyBody = fc.oneof(wedge, survey)
const share = fc.double({ min: 0, max: 1, noNaN: true })
const levelAt = (body: SandBody, part: number) => body.bedLevelM + part * (body.crestLevelM - body.bedLevelM)

describe('the level-volume curve of any weir', () => {
  it('rises with the level, and low is never above likely, nor likely above high', () => {
    fc.assert(
      fc.property(anyBody, share, share, (body, a, b) => {
        const lower = drainableStorageM3({ body, waterLevelM: levelAt(body, Math.min(a, b)) })
        const upper = drainableStorageM3({ body, waterLevelM: levelAt(body, Math.max(a, b)) })
        expect(upper.likelyM3).toBeGreaterThanOrEqual(lower.likelyM3 - 1e-9)
        for (const stored of [lower, upper]) {
          expect(stored.lowM3).toBeGreaterThanOrEqual(0)
          expect(stored.lowM3).toBeLessThanOrEqual(stored.likelyM3)
          expect(stored.likelyM3).toBeLessThanOrEqual(stored.highM3)
        }
      }),
    )
  })

  it('gives the level back to a millimetre between off-take and crest', () => {
    fc.assert(
      fc.property(anyBody, fc.double({ min: 0.1, max: 1, noNaN: true }), (body, part) => {
        const waterLevelM = levelAt(body, part)
        const storageM3 = drainableStorageM3({ body, waterLevelM }).likelyM3
        const found = waterLevelForStorageM({ body, storageM3 })
        expect(Math.abs(found! - waterLevelM)).toBeLessThan(0.001)
      }),
    )
  })

  it('parts at the off-take into what a pump can draw and what is left for hands', () => {
    fc.assert(
      fc.property(anyBody, share, fc.double({ min: 0, max: 0.95, noNaN: true }), (body, part, offTakePart) => {
        const waterLevelM = levelAt(body, part)
        const { available, handDrawn } = availableStorageM3({
          body,
          waterLevelM,
          offTakeLevelM: levelAt(body, offTakePart),
        })
        const all = drainableStorageM3({ body, waterLevelM })
        expect(available.likelyM3 + handDrawn.likelyM3).toBeCloseTo(all.likelyM3, 6)
        expect(available.lowM3).toBeGreaterThanOrEqual(0)
        if (part <= offTakePart) expect(available.highM3).toBe(0)
      }),
    )
  })
})

describe('a weir with the water above its crest', () => {
  const body = wedgeSandBody({
    crestHeightM: 2,
    crestWidthM: 15,
    bedSlope: 0.02,
    valleyShape: 'triangle',
    crestLevelM: 100,
    specificYield: mediumSand,
  })

  it('holds no more than to the crest, and says so', () => {
    expect(drainableStorageM3({ body, waterLevelM: 100.4 })).toEqual({
      ...drainableStorageM3({ body, waterLevelM: 100 }),
      aboveCrest: true,
    })
    expect(drainableStorageM3({ body, waterLevelM: 100 }).aboveCrest).toBe(false)
  })

  it('cannot name a level for more water than it holds', () => {
    expect(waterLevelForStorageM({ body, storageM3: 131 })).toBeNull()
    expect(waterLevelForStorageM({ body, storageM3: 0 })).toBe(98)
  })
})

it('lists the curve every ten centimetres from the bed to the crest', () => {
  const body = wedgeSandBody({
    crestHeightM: 1.25,
    crestWidthM: 15,
    bedSlope: 0.02,
    valleyShape: 'parabola',
    crestLevelM: 100,
    specificYield: mediumSand,
  })
  const rows = stageStorageCurve({ body })
  expect(rows).toHaveLength(14)
  expect(rows[0]).toEqual({ levelM: 98.75, saturatedVolumeM3: 0, lowM3: 0, likelyM3: 0, highM3: 0 })
  expect(rows[1]!.levelM).toBeCloseTo(98.8, 9)
  expect(rows.at(-1)!.levelM).toBe(100)
})

it('counts the level surface of a box-shaped wedge as width by wet length', () => {
  const body = wedgeSandBody({
    crestHeightM: 2,
    crestWidthM: 15,
    bedSlope: 0.02,
    valleyShape: 'rectangle',
    crestLevelM: 2,
    specificYield: mediumSand,
  })
  const risenM3 = saturatedVolumeM3({ body, waterLevelM: 1 }) - saturatedVolumeM3({ body, waterLevelM: 0.999 })
  expect(risenM3 / 0.001).toBeCloseTo(15 * 50, 0)
})

it('gives silt below the sand its own, smaller yield', () => {
  const box = { crestHeightM: 2, crestWidthM: 10, bedSlope: 0.02, valleyShape: 'rectangle' as const, crestLevelM: 2 }
  const flat = (likely: number) => ({ low: likely, likely, high: likely })
  const body = wedgeSandBody({
    ...box,
    layers: [
      { toDepthM: 1, specificYield: flat(0.3) },
      { toDepthM: null, specificYield: flat(0.1) },
    ],
  })
  // 1000 m3 of sand; the part deeper than a metre under the surface is a wedge of half the height: 250 m3.
  expect(drainableStorageM3({ body, waterLevelM: 2 }).likelyM3).toBeCloseTo(750 * 0.3 + 250 * 0.1, 6)
})

it('reads a table that the group accepted instead of the computed curve', () => {
  const wedgeBody = wedgeSandBody({
    crestHeightM: 2,
    crestWidthM: 15,
    bedSlope: 0.02,
    valleyShape: 'rectangle',
    crestLevelM: 2,
    specificYield: mediumSand,
  })
  const rows = [
    { levelM: 0, lowM3: 0, likelyM3: 0, highM3: 0 },
    { levelM: 1, lowM3: 80, likelyM3: 100, highM3: 120 },
    { levelM: 2, lowM3: 240, likelyM3: 300, highM3: 360 },
  ]
  const body = withLevelVolumeTable({ body: wedgeBody, rows, grade: 'calibrated' })
  expect(drainableStorageM3({ body, waterLevelM: 1.5 })).toEqual({
    lowM3: 160,
    likelyM3: 200,
    highM3: 240,
    aboveCrest: false,
  })
  expect(drainableStorageM3({ body, waterLevelM: -1 }).likelyM3).toBe(0)
  expect(body.grade).toBe('calibrated')
  const falling = [rows[0]!, rows[2]!, { ...rows[1]!, levelM: 3 }]
  expect(() => withLevelVolumeTable({ body: wedgeBody, rows: falling, grade: 'probed' })).toThrow(InputError)
})
