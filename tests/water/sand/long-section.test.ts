import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import { surveyedSandBody, wedgeSandBody } from '../../../domain/water/sand/body.ts'
import { longProfile, wetProfile } from '../../../domain/water/sand/long-profile.ts'
import { longSectionGeometry } from '../../../domain/water/sand/long-section.ts'

const specificYield = specificYieldOf('medium-sand')
const wedge = (crestHeightM: number, bedSlope: number, sandSlope = 0) =>
  wedgeSandBody({
    crestHeightM,
    crestWidthM: 12,
    bedSlope,
    sandSlope,
    valleyShape: 'parabola',
    crestLevelM: 100,
    specificYield,
  })
const surveyed = surveyedSandBody({
  sections: [0, 20, 50].map((chainageM, i) => ({
    chainageM,
    points: [
      { offsetM: 0, sandLevelM: 10, bedLevelM: 10 },
      { offsetM: 4, sandLevelM: 10, bedLevelM: [8, 8.6, 9.4][i]! },
      { offsetM: 8, sandLevelM: 10, bedLevelM: 10 },
    ],
  })),
  tailChainageM: 65,
  crestLevelM: 10,
  specificYield,
})

function areaOf(points: { x: number; y: number }[]): number {
  const twice = points.reduce((sum, p, i) => {
    const next = points[(i + 1) % points.length]!
    return sum + p.x * next.y - next.x * p.y
  }, 0)
  return Math.abs(twice) / 2
}

describe('the long profile', () => {
  it('of a wedge runs from the wall to the throw-back', () => {
    expect(longProfile({ body: wedge(2, 0.02) })).toEqual([
      { chainageM: 0, bedLevelM: 98, sandLevelM: 100 },
      { chainageM: 100, bedLevelM: 100, sandLevelM: 100 },
    ])
  })

  it('of a survey follows the deepest probe of each section and closes at the tail', () => {
    expect(longProfile({ body: surveyed }).map((p) => [p.chainageM, p.bedLevelM, p.sandLevelM])).toEqual([
      [0, 8, 10],
      [20, 8.6, 10],
      [50, 9.4, 10],
      [65, 10, 10],
    ])
  })

  it('ends the water where its level meets the bed', () => {
    const wet = wetProfile({ profile: longProfile({ body: surveyed }), waterLevelM: 9 })
    expect(wet.at(-1)!.chainageM).toBeCloseTo(35, 9)
    expect(wet.every((p) => p.sandLevelM <= 9 && p.sandLevelM >= p.bedLevelM)).toBe(true)
    expect(wetProfile({ profile: longProfile({ body: surveyed }), waterLevelM: 7.9 })).toEqual([])
  })
})

describe('the picture of the stream', () => {
  const weirs = [
    { weirId: 'upper', body: wedge(2, 0.02), waterLevelM: 99, offTakeLevelM: 98.4 },
    { weirId: 'middle', body: surveyed, waterLevelM: null, offTakeLevelM: 8.5 },
    { weirId: 'lower', body: wedge(1, 0.02, 0.01), waterLevelM: 100.3, offTakeLevelM: 99.2 },
  ]
  const picture = longSectionGeometry({ weirs })
  const [upper, middle, lower] = picture.reaches as [
    (typeof picture.reaches)[0],
    (typeof picture.reaches)[0],
    (typeof picture.reaches)[0],
  ]

  it('draws all reaches on one scale along and one scale up', () => {
    const along = (reach: typeof upper) => reach.wall.x - reach.bedLine[0]!.x
    expect(along(upper) / picture.unitsPerMetreAlong).toBeCloseTo(100, 0)
    expect(along(middle) / picture.unitsPerMetreAlong).toBeCloseTo(65, 0)
    expect(along(lower) / picture.unitsPerMetreAlong).toBeCloseTo(100, 0)
    expect((upper.wall.bottomY - upper.wall.topY) / picture.unitsPerMetreUp).toBeCloseTo(2, 1)
    expect((lower.wall.bottomY - lower.wall.topY) / picture.unitsPerMetreUp).toBeCloseTo(1, 1)
  })

  it('fills its frame but for its margins: by hand, 100 and 50 m at two along, 2 and 1 m at forty up', () => {
    const two = [wedge(2, 0.02), wedge(1, 0.02)].map((body, at) => ({
      ...{ weirId: `${at}`, body, waterLevelM: [100, 100.01][at]!, offTakeLevelM: 99.5 },
    }))
    // Across 12 + 200 + 6 for the wall + 14 of gap + 100 + 6 + 12; down 12 + 80 + 10 a step + 40 + 12.
    const drawn = longSectionGeometry({ weirs: two, width: 350, height: 154 })
    expect(drawn).toMatchObject({ unitsPerMetreAlong: 2, unitsPerMetreUp: 40, exaggeration: 20 })
    expect(drawn.reaches.map(({ wall }) => [wall.x, wall.topY, wall.bottomY])).toEqual([
      [212, 12, 92],
      [332, 102, 142],
    ])
    expect(drawn.breaks).toEqual([{ from: { x: 218, y: 92 }, to: { x: 232, y: 102 } }])
    expect(drawn.reaches.map(({ aboveCrest }) => aboveCrest)).toEqual([false, true])
    const unread = longSectionGeometry({ weirs: [{ ...two[0]!, waterLevelM: null }], width: 350, height: 154 })
    expect(unread.reaches[0]!.aboveCrest).toBe(false)
    // Sections that are counted from elsewhere than the wall: 20 m at five along.
    const far = surveyedSandBody({
      ...{ crestLevelM: 10, specificYield },
      sections: [10, 30].map((chainageM) => ({
        chainageM,
        points: [0, 4, 8].map((offsetM) => ({ offsetM, sandLevelM: 10, bedLevelM: offsetM === 4 ? 8 : 9 })),
      })),
    })
    const [only] = longSectionGeometry({ weirs: [{ ...two[0]!, body: far }], width: 130, height: 104 }).reaches
    expect(only!.bedLine).toEqual([
      { x: 12, y: 92 },
      { x: 112, y: 92 },
    ])
  })

  it('draws half the depth of water as a quarter of the sand of a wedge', () => {
    expect(areaOf(upper.waterPolygon) / areaOf(upper.sandPolygon)).toBeCloseTo(0.25, 2)
    expect(areaOf(upper.handDrawnPolygon) / areaOf(upper.sandPolygon)).toBeCloseTo(0.04, 2)
  })

  it('draws no water without a reading, and a level above the crest as full with a flag', () => {
    expect(middle.waterPolygon).toEqual([])
    expect(middle.waterLine).toEqual([])
    expect(lower.aboveCrest).toBe(true)
    expect(lower.waterLine.at(-1)!.y).toBe(lower.crestY)
  })

  it('goes down from left to right and stays inside its frame', () => {
    for (const [at, { from, to }] of picture.breaks.entries()) {
      const { wall } = picture.reaches[at]!
      expect(from).toEqual({ x: expect.closeTo(wall.x + wall.width, 6), y: wall.bottomY }) // behind the wall, at its foot
      expect(to.x).toBeGreaterThan(from.x)
      expect(to.y).toBeGreaterThan(from.y)
    }
    const depth = fc.double({ min: 0.5, max: 4, noNaN: true })
    fc.assert(
      fc.property(
        fc.array(fc.tuple(depth, fc.double({ min: 0, max: 1.1, noNaN: true })), { minLength: 1, maxLength: 8 }),
        (rows) => {
          const drawn = longSectionGeometry({
            weirs: rows.map(([heightM, share], i) => ({
              weirId: `w${i}`,
              body: wedge(heightM, 0.02, 0.005),
              waterLevelM: 100 - heightM * (1 - share),
              offTakeLevelM: 100 - heightM * 0.9,
            })),
            width: 360,
            height: 240,
          })
          for (const reach of drawn.reaches)
            for (const { x, y } of [...reach.sandPolygon, ...reach.waterPolygon, reach.offTake]) {
              expect(x).toBeGreaterThanOrEqual(0)
              expect(x).toBeLessThanOrEqual(360)
              expect(y).toBeGreaterThanOrEqual(0)
              expect(y).toBeLessThanOrEqual(240)
            }
        },
      ),
    )
  })

  it('is empty for a group without weirs', () => {
    expect(longSectionGeometry({ weirs: [] })).toMatchObject({ reaches: [], breaks: [] })
  })
})
