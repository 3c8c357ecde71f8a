import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { WedgeGeometry } from '../../../domain/water/sand/body.ts'
import { saturatedAreaM2, surveyVolumeM3 } from '../../../domain/water/sand/survey-volume.ts'
import { throwbackM, wedgeVolumeM3 } from '../../../domain/water/sand/wedge-volume.ts'
import { runs } from '../../support/runs.ts'

/** A body cut into thin slices and counted up, as with a spade: nothing of the formulas is used. */
const SLICES = 4000

/** Width of a valley 2 m deep and 10 m wide at the crest, at a height over the bed at the wall. */
const WIDTHS: Record<WedgeGeometry['valleyShape'], (heightM: number, bottomWidthM: number) => number> = {
  rectangle: () => 10,
  triangle: (heightM) => 10 * (heightM / 2),
  parabola: (heightM) => 10 * Math.sqrt(heightM / 2),
  trapezoid: (heightM, bottomWidthM) => bottomWidthM + (10 - bottomWidthM) * (heightM / 2),
}

/** Area of a section of some depth: layer upon layer, each in its middle as wide as the valley is there. */
function sectionM2(shape: WedgeGeometry['valleyShape'], depthM: number, bottomWidthM: number): number {
  let areaM2 = 0
  const layers = 60
  for (let layer = 0; layer < layers; layer++)
    areaM2 += (WIDTHS[shape](((layer + 0.5) / layers) * depthM, bottomWidthM) * depthM) / layers
  return areaM2
}

describe('the wet sand of a wedge', () => {
  it('is as much as its slices upstream, under water or sand, whichever is lower', () => {
    const shapes = fc.constantFrom<WedgeGeometry['valleyShape']>('rectangle', 'triangle', 'parabola', 'trapezoid')
    const slopes = fc.constantFrom([0.02, 0], [0.03, 0.01], [0.05, 0.04])
    fc.assert(
      fc.property(
        shapes,
        slopes,
        fc.constantFrom(0, 0.5, 2, 2.4),
        fc.constantFrom(0, 0.4, 2, 2.5),
        (valleyShape, slope, waterM, loweredM) => {
          const [bedSlope, sandSlope] = slope as [number, number]
          const wedge: WedgeGeometry = {
            kind: 'wedge',
            crestHeightM: 2,
            crestWidthM: 10,
            bottomWidthM: 3,
            bedSlope,
            sandSlope,
            valleyShape,
          }
          const reachM = 2.4 / Math.min(bedSlope, bedSlope - sandSlope)
          expect(throwbackM(wedge)).toBeCloseTo(2 / (bedSlope - sandSlope), 9)
          let slicesM3 = 0
          for (let slice = 0; slice < 600; slice++) {
            const upstreamM = ((slice + 0.5) / 600) * reachM
            const depthM = Math.min(waterM, 2 - loweredM + sandSlope * upstreamM) - bedSlope * upstreamM
            if (depthM > 0) slicesM3 += (sectionM2(valleyShape, depthM, 3) * reachM) / 600
          }
          const found = wedgeVolumeM3(wedge, waterM, loweredM)
          expect(Math.abs(found - slicesM3)).toBeLessThanOrEqual(0.01 * slicesM3 + 1e-9)
        },
      ),
      runs(40),
    )
  })
})

describe('the wet sand of a probed section', () => {
  const point = fc.record({
    gapM: fc.constantFrom(0.5, 1, 2),
    bedLevelM: fc.constantFrom(98, 98.5, 99, 99.7),
    sandLevelM: fc.constantFrom(98.5, 99, 99.4, 100),
  })

  it('is as much as its strips between the probes', () => {
    fc.assert(
      fc.property(
        fc.array(point, { minLength: 1, maxLength: 4 }),
        fc.constantFrom(97, 98.6, 99, 99.5, 101),
        fc.constantFrom(0, 0.3),
        (drawn, waterM, loweredM) => {
          const points = drawn.map(({ gapM: _, ...levels }, at) => {
            const before = drawn.slice(0, at + 1)
            return { offsetM: before.reduce((sum, { gapM }) => sum + gapM, 0), ...levels }
          })
          let stripsM2 = 0
          for (const [at, right] of points.slice(1).entries()) {
            const left = points[at]!
            for (let strip = 0; strip < SLICES; strip++) {
              const share = (strip + 0.5) / SLICES
              const bedM = left.bedLevelM + share * (right.bedLevelM - left.bedLevelM)
              const sandM = left.sandLevelM + share * (right.sandLevelM - left.sandLevelM) - loweredM
              stripsM2 += (Math.max(0, Math.min(waterM, sandM) - bedM) * (right.offsetM - left.offsetM)) / SLICES
            }
          }
          expect(saturatedAreaM2({ chainageM: 0, points }, waterM, loweredM)).toBeCloseTo(stripsM2, 4)
        },
      ),
      runs(60),
    )
  })

  it('counts up from section to section, the last closing on nothing at the tail', () => {
    const box = (chainageM: number, depthM: number) => ({
      chainageM,
      points: [0, 4].map((offsetM) => ({ offsetM, bedLevelM: 100 - depthM, sandLevelM: 100 })),
    })
    const survey = (tailChainageM: number | null) => ({
      kind: 'survey' as const,
      sections: [box(0, 2), box(10, 1), box(30, 0.5)],
      tailChainageM,
    })
    // 8, 4 and 2 m2: 10 m of 6, 20 m of 3, and 8 m of 1 to the tail.
    expect(surveyVolumeM3(survey(null), 100, 0)).toBeCloseTo(120, 9)
    expect(surveyVolumeM3(survey(38), 100, 0)).toBeCloseTo(128, 9)
    expect(surveyVolumeM3(survey(38), 99, 0)).toBeCloseTo(10 * 2 + 0, 9)
    expect(surveyVolumeM3(survey(38), 100, 0.5)).toBeCloseTo(10 * 4 + 20 * 1, 9)
  })
})
