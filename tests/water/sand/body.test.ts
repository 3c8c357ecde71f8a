import { expect, it } from 'vitest'
import { specificYieldOf } from '../../../domain/water/data/specific-yield.ts'
import { surveyedSandBody, wedgeSandBody } from '../../../domain/water/sand/body.ts'

const mediumSand = specificYieldOf('medium-sand')

const measures = {
  crestHeightM: 2,
  crestWidthM: 15,
  bedSlope: 0.02,
  valleyShape: 'rectangle' as const,
  crestLevelM: 2,
  specificYield: mediumSand,
}

it.each([
  ['crest-height-not-above-zero', { crestHeightM: 0 }],
  ['crest-height-not-above-zero', { crestHeightM: Number.NaN }],
  ['crest-width-not-above-zero', { crestWidthM: -3 }],
  ['bed-slope-not-above-zero', { bedSlope: 0 }],
  ['bed-slope-above-one', { bedSlope: 2 }],
  ['sand-slope-not-below-bed', { sandSlope: 0.02 }],
  ['bottom-width-not-within-crest', { valleyShape: 'trapezoid' as const }],
  ['specific-yield-out-of-range', { specificYield: { low: 0.3, likely: 0.2, high: 0.4 } }],
  ['specific-yield-out-of-range', { specificYield: { low: 15, likely: 26, high: 32 } }],
])('refuses a mistyped wedge as %s', (code, change) => {
  expect(() => wedgeSandBody({ ...measures, ...change })).toThrow(expect.objectContaining({ code }))
})

const probed = (chainageM: number, bedLevelM = 1) => ({
  chainageM,
  points: [
    { offsetM: 0, sandLevelM: 3, bedLevelM: 3 },
    { offsetM: 2, sandLevelM: 3, bedLevelM },
    { offsetM: 4, sandLevelM: 3, bedLevelM: 3 },
  ],
})

it.each([
  ['no-sections', { sections: [] }],
  ['one-section-without-tail', { sections: [probed(0)] }],
  ['chainage-not-rising', { sections: [probed(5), probed(5)] }],
  ['bed-above-sand', { sections: [probed(0), probed(5, 4)] }],
  ['tail-not-beyond-sections', { sections: [probed(0), probed(5)], tailChainageM: 4 }],
  ['crest-not-above-bed', { sections: [probed(0), probed(5)], crestLevelM: 1 }],
  ['section-too-few-points', { sections: [probed(0), { chainageM: 5, points: [] }] }],
  ['offset-not-rising', { sections: [probed(0), { chainageM: 5, points: [...probed(5).points].reverse() }] }],
  // The same place twice, at two depths: one of them was mistyped.
  [
    'offset-not-rising',
    { sections: [probed(0), { chainageM: 5, points: [probed(5).points[0]!, probed(5).points[0]!] }] },
  ],
])('refuses a mistyped survey as %s', (code, change) => {
  const sound = { sections: [probed(0), probed(10)], crestLevelM: 3, specificYield: mediumSand }
  expect(() => surveyedSandBody({ ...sound, ...change })).toThrow(expect.objectContaining({ code }))
})

it.each([
  ['layer-depth-not-rising', [0.8, 0.5, null], { layer: 2 }],
  ['layer-depth-not-rising', [0, null], { layer: 1 }],
  ['layer-does-not-reach-bed', [0.5, 0.9], { layer: 2 }],
  ['layer-does-not-reach-bed', [null, 0.9, null], { layer: 1 }],
])('names the layer that was mistyped, counted from the top: %s in %j', (code, depthsM, values) => {
  const layers = depthsM.map((toDepthM) => ({ toDepthM, specificYield: mediumSand }))
  const { specificYield: _, ...wedge } = measures
  expect(() => wedgeSandBody({ ...wedge, layers })).toThrow(expect.objectContaining({ code, values }))
})

it('names the layer whose yield is out of range', () => {
  const dry = { low: 0.3, likely: 0.2, high: 0.4 }
  const layers = [
    { toDepthM: 1, specificYield: mediumSand },
    { toDepthM: null, specificYield: dry },
  ]
  const { specificYield: _, ...wedge } = measures
  expect(() => wedgeSandBody({ ...wedge, layers })).toThrow(
    expect.objectContaining({ code: 'specific-yield-out-of-range', values: { layer: 2, ...dry } }),
  )
})
