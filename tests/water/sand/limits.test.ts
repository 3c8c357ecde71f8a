import { describe, expect, it } from 'vitest'
import { surveyedSandBody, wedgeSandBody, withLevelVolumeTable } from '../../../domain/water/sand/body.ts'
import { availableStorageM3, drainableStorageM3 } from '../../../domain/water/sand/storage.ts'
import { boxBody } from '../path/tank.ts'

/** The code with which something is refused; undefined where it is taken. */
function refusal(make: () => unknown): string | undefined {
  try {
    make()
    return undefined
  } catch (error) {
    return (error as { code: string }).code
  }
}

const YIELD = { low: 0.2, likely: 0.25, high: 0.3 }

describe('the tape of a wedge', () => {
  const wedge = (more: object) =>
    refusal(() =>
      wedgeSandBody({
        ...{ crestHeightM: 2, crestWidthM: 10, bedSlope: 0.02, valleyShape: 'trapezoid', bottomWidthM: 4 },
        ...{ crestLevelM: 102, specificYield: YIELD, ...more },
      }),
    )

  it.each<[object, string | undefined]>([
    [{}, undefined],
    [{ crestHeightM: 0.001 }, undefined],
    [{ crestHeightM: 0 }, 'crest-height-not-above-zero'],
    [{ crestHeightM: Infinity }, 'crest-height-not-above-zero'],
    [{ crestWidthM: 0 }, 'crest-width-not-above-zero'],
    [{ bedSlope: 1 }, undefined],
    [{ bedSlope: 1.001 }, 'bed-slope-above-one'],
    [{ flattestBedSlope: 0 }, 'bed-slope-not-above-zero'],
    [{ flattestBedSlope: 0.01 }, undefined],
    [{ sandSlope: 0 }, undefined],
    [{ sandSlope: 0.0199 }, undefined],
    [{ sandSlope: 0.02 }, 'sand-slope-not-below-bed'],
    [{ sandSlope: -0.001 }, 'sand-slope-not-below-bed'],
    [{ bottomWidthM: 0 }, undefined],
    [{ bottomWidthM: 10 }, undefined],
    [{ bottomWidthM: 10.1 }, 'bottom-width-not-within-crest'],
    [{ bottomWidthM: -0.1 }, 'bottom-width-not-within-crest'],
    [{ bottomWidthM: undefined }, 'bottom-width-not-within-crest'],
    [{ valleyShape: 'parabola', bottomWidthM: undefined }, undefined],
    [{ crestLevelM: Number.NaN }, 'crest-level-not-a-number'],
    [{ specificYield: undefined }, 'no-specific-yield'],
    [{ specificYield: { low: 0, likely: 0.25, high: 0.3 } }, undefined],
    [{ specificYield: { low: 0, likely: 0, high: 0.3 } }, 'specific-yield-out-of-range'],
    [{ specificYield: { low: -0.1, likely: 0.2, high: 0.3 } }, 'specific-yield-out-of-range'],
    [{ specificYield: { low: 0.25, likely: 0.25, high: 0.25 } }, undefined],
    [{ specificYield: { low: 0.3, likely: 0.25, high: 0.3 } }, 'specific-yield-out-of-range'],
    [{ specificYield: { low: 0.2, likely: 0.35, high: 0.3 } }, 'specific-yield-out-of-range'],
    [{ specificYield: { low: 0.2, likely: 0.25, high: 1 } }, 'specific-yield-out-of-range'],
    [{ specificYield: { low: 0.2, likely: 0.25, high: 0.99 } }, undefined],
  ])('%j', (more, code) => expect(wedge(more)).toBe(code))

  it('keeps a flatter bed only where it is flatter, and its own floor under the crest', () => {
    const made = (flattestBedSlope?: number) =>
      wedgeSandBody({
        crestHeightM: 2,
        crestWidthM: 10,
        bedSlope: 0.02,
        valleyShape: 'triangle',
        crestLevelM: 102,
        specificYield: YIELD,
        ...(flattestBedSlope ? { flattestBedSlope } : {}),
      })
    expect(made(0.01).geometry).toMatchObject({ flattestBedSlope: 0.01, bottomWidthM: 0 })
    for (const steep of [0.02, 0.03, undefined]) expect(made(steep).geometry).not.toHaveProperty('flattestBedSlope')
    expect(made().bedLevelM).toBe(100)
    // Half the slope may be twice as much sand; nothing else of the range is touched.
    const [known, unknown] = [made(), made(0.01)].map((body) => drainableStorageM3({ body, waterLevelM: 102 }))
    expect(unknown!.highM3 / known!.highM3).toBeCloseTo(2, 9)
    expect([unknown!.lowM3, unknown!.likelyM3]).toEqual([known!.lowM3, known!.likelyM3])
  })

  it('leaves a guess from half to twice as much, and the yield’s own doubt beside it', () => {
    const of = (specificYield: typeof YIELD) =>
      drainableStorageM3({
        body: wedgeSandBody({
          crestHeightM: 2,
          crestWidthM: 10,
          bedSlope: 0.02,
          valleyShape: 'triangle',
          crestLevelM: 102,
          specificYield,
        }),
        waterLevelM: 102,
      })
    // A sixth of 10 by 2 by 100 m are 333.3 m3 of sand.
    const sure = of({ low: 0.3, likely: 0.3, high: 0.3 })
    expect([sure.lowM3, sure.likelyM3, sure.highM3]).toEqual([50, 100, 200].map((each) => expect.closeTo(each, 9)))
    // Twice by the shape and twice by the yield are two to the root of two.
    const twice = of({ low: 0.15, likely: 0.3, high: 0.6 })
    expect(twice.highM3).toBeCloseTo(100 * 2 ** Math.SQRT2, 9)
    expect(twice.lowM3).toBeCloseTo(100 / 2 ** Math.SQRT2, 9)
    expect(of({ low: 0, likely: 0.3, high: 0.3 }).lowM3).toBe(0)
  })
})

describe('the probes of a survey', () => {
  const section = (
    chainageM: number,
    points: [number, number, number][] = [
      [0, 3, 3],
      [2, 3, 1],
    ],
  ) => ({ chainageM, points: points.map(([offsetM, sandLevelM, bedLevelM]) => ({ offsetM, sandLevelM, bedLevelM })) })
  const survey = (more: object) =>
    refusal(() =>
      surveyedSandBody({ sections: [section(0), section(5)], crestLevelM: 3, specificYield: YIELD, ...more }),
    )

  it.each<[string, object, string | undefined]>([
    ['two sections', {}, undefined],
    ['one with a tail', { sections: [section(0)], tailChainageM: 0.1 }, undefined],
    ['one without', { sections: [section(0)] }, 'one-section-without-tail'],
    ['a tail at the last', { tailChainageM: 5 }, 'tail-not-beyond-sections'],
    ['a tail beyond it', { tailChainageM: 5.1 }, undefined],
    ['two at one place', { sections: [section(5), section(5)] }, 'chainage-not-rising'],
    ['a place that is no number', { sections: [section(Number.NaN), section(5)] }, 'chainage-not-a-number'],
    ['one probe', { sections: [section(0), section(5, [[0, 3, 1]])] }, 'section-too-few-points'],
    [
      'a bed at the sand',
      {
        sections: [
          section(0),
          section(5, [
            [0, 3, 3],
            [1, 3, 3],
          ]),
        ],
      },
      undefined,
    ],
    [
      'a bed above it',
      {
        sections: [
          section(0),
          section(5, [
            [0, 3, 3],
            [1, 3, 3.1],
          ]),
        ],
      },
      'bed-above-sand',
    ],
    [
      'a probe twice',
      {
        sections: [
          section(0),
          section(5, [
            [1, 3, 3],
            [1, 3, 2],
          ]),
        ],
      },
      'offset-not-rising',
    ],
    [
      'a first probe anywhere',
      {
        sections: [
          section(0),
          section(5, [
            [-4, 3, 3],
            [1, 3, 2],
          ]),
        ],
      },
      undefined,
    ],
    [
      'a first probe nowhere',
      {
        sections: [
          section(0),
          section(5, [
            [Number.NaN, 3, 3],
            [1, 3, 2],
          ]),
        ],
      },
      'offset-not-rising',
    ],
    ['a crest at the bed', { crestLevelM: 1 }, 'crest-not-above-bed'],
    ['a crest above it', { crestLevelM: 1.1 }, undefined],
  ])('%s', (_, more, code) => expect(survey(more)).toBe(code))
})

describe('a table that the group took', () => {
  const row = (levelM: number, lowM3: number, likelyM3: number, highM3: number) => ({ levelM, lowM3, likelyM3, highM3 })
  const table = (...rows: ReturnType<typeof row>[]) =>
    refusal(() => withLevelVolumeTable({ body: boxBody(), rows, grade: 'calibrated' }))

  it('rises with its levels and keeps low, likely and high in order', () => {
    const first = row(100, 0, 0, 0)
    expect(table(first, row(101, 1, 2, 3))).toBeUndefined()
    expect(table(first)).toBe('table-too-short')
    expect(table(first, row(100, 1, 2, 3))).toBe('table-level-not-rising')
    for (const wrong of [row(101, -1, 2, 3), row(101, 2.1, 2, 3), row(101, 1, 3.1, 3)])
      expect(table(first, wrong)).toBe('table-range-out-of-order')
    const before = row(100.5, 1, 2, 3)
    for (const falling of [row(101, 0.9, 2, 3), row(101, 1, 1.9, 3), row(101, 1, 2, 2.9)])
      expect(table(first, before, falling)).toBe('table-volume-falls')
    expect(table(first, before, row(101, 1, 2, 3))).toBeUndefined()
  })

  it('is read in straight lines between its rows, and at its ends beyond them', () => {
    const rows = [row(100, 0, 1, 2), row(101, 10, 20, 30), row(101.5, 10, 40, 90)]
    const body = withLevelVolumeTable({ body: boxBody(), rows, grade: 'calibrated' })
    const at = (waterLevelM: number) => {
      const { lowM3, likelyM3, highM3 } = drainableStorageM3({ body, waterLevelM })
      return [lowM3, likelyM3, highM3]
    }
    expect([at(99), at(100), at(100.5), at(101), at(101.25), at(101.5), at(101.9)]).toEqual([
      ...[
        [0, 1, 2],
        [0, 1, 2],
        [5, 10.5, 16],
        [10, 20, 30],
        [10, 30, 60],
        [10, 40, 90],
        [10, 40, 90],
      ],
    ])
    expect(drainableStorageM3({ body, waterLevelM: 102 }).aboveCrest).toBe(false)
    expect(drainableStorageM3({ body, waterLevelM: 102.001 }).aboveCrest).toBe(true)
  })
})

it.each<[number, string | undefined]>([
  [101.999, undefined],
  [102, 'off-take-not-below-crest'],
  [102.1, 'off-take-not-below-crest'],
])('an off-take at %d m under a crest of 102 m', (offTakeLevelM, code) =>
  expect(refusal(() => availableStorageM3({ body: boxBody(), waterLevelM: 101, offTakeLevelM }))).toBe(code),
)
