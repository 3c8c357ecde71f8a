import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { coefficientAt, localCurve } from '../../../domain/crops/crop/coefficient.ts'
import { mulchedCurve } from '../../../domain/crops/crop/mulch.ts'
import { checkStageDays, STAGES, type StageDays, stageOn, stagePeriods } from '../../../domain/crops/crop/stages.ts'

const SOWN = '2026-02-20'
const lengths = fc.tuple(
  ...([0, 1, 2, 3].map(() => fc.integer({ min: 0, max: 4 })) as [
    fc.Arbitrary<number>,
    fc.Arbitrary<number>,
    fc.Arbitrary<number>,
    fc.Arbitrary<number>,
  ]),
)

/** A season walked through day by day: each stage written as often as it has days. */
const walked = (stageDays: StageDays) =>
  STAGES.flatMap((stage, at) =>
    Array.from({ length: stageDays[at]! }, (_, day) => ({ stage, passed: (day + 1) / stageDays[at]! })),
  )

describe('the stage of a day', () => {
  it('is the one that a walk through the season comes to, once or again and again', () => {
    fc.assert(
      fc.property(lengths, fc.boolean(), fc.integer({ min: -2, max: 40 }), (drawn, repeats, day) => {
        const stageDays = drawn as unknown as StageDays
        fc.pre(drawn.some((days) => days > 0))
        const season = walked(stageDays)
        const found = stageOn({ stageDays, plantedOn: SOWN, repeats }, addDays(SOWN, day))
        const place = repeats && day >= 0 ? day % season.length : day
        const expected = season[place]
        expect(found === null).toBe(expected === undefined)
        if (expected === undefined) return
        expect(found).toMatchObject({ stage: expected.stage, day: place + 1 })
        expect(found!.passed).toBeCloseTo(expected.passed, 12)
      }),
      { numRuns: 300 },
    )
  })

  it('is none after the day of harvest', () => {
    const harvested = { stageDays: [1, 1, 1, 1] as const, plantedOn: SOWN, harvestedOn: addDays(SOWN, 1) }
    expect([0, 1, 2].map((day) => stageOn(harvested, addDays(SOWN, day))?.stage)).toEqual([
      'initial',
      'development',
      undefined,
    ])
  })

  it('comes round each year from a half-year of stages on, and rests between', () => {
    const round = (length: number, day: number) =>
      stageOn({ stageDays: [length - 3, 1, 1, 1], plantedOn: SOWN, repeats: true }, addDays(SOWN, day))
    expect(round(179, 179)).toMatchObject({ stage: 'initial', day: 1 })
    expect(round(180, 180)).toMatchObject({ stage: 'resting', day: 181 })
    expect(round(180, 365)).toMatchObject({ stage: 'resting' })
    expect(round(180, 366)).toMatchObject({ stage: 'initial', day: 1 })
    expect(round(400, 400)).toMatchObject({ stage: 'initial', day: 1 })
  })
})

describe('stages from date to date', () => {
  const periods = (more: object, on?: string) =>
    stagePeriods({ stageDays: [2, 3, 0, 1], plantedOn: SOWN, ...more }, on).map(
      ({ stage, from, to }) => `${stage} ${from.slice(5)} ${to.slice(5)}`,
    )

  it('follow each other, those of no length left out, cut at the harvest', () => {
    const whole = ['initial 02-20 02-21', 'development 02-22 02-24', 'late-season 02-25 02-25']
    expect(periods({})).toEqual(whole)
    expect(periods({ harvestedOn: '2026-02-25' })).toEqual(whole)
    expect(periods({ harvestedOn: '2026-02-24' })).toEqual(whole.slice(0, 2))
    expect(periods({ harvestedOn: '2026-02-22' })).toEqual(['initial 02-20 02-21', 'development 02-22 02-22'])
  })

  it('are those of the round of a day', () => {
    const first = (on: string) => periods({ repeats: true }, on)[0]
    expect([SOWN, '2026-02-25', '2026-02-26', '2026-03-03', '2026-03-04'].map(first)).toEqual([
      ...['initial 02-20 02-21', 'initial 02-20 02-21', 'initial 02-26 02-27', 'initial 02-26 02-27'],
      'initial 03-04 03-05',
    ])
    expect(periods({}, '2026-02-26')[0]).toBe('initial 02-20 02-21')
    expect(first('2026-01-01')).toBe('initial 02-20 02-21')
  })
})

it('stages are four lengths in whole days, one day at least', () => {
  for (const right of [
    [0, 0, 0, 1],
    [1, 2, 3, 4],
  ])
    expect(() => checkStageDays(right)).not.toThrow()
  for (const wrong of [
    [0, 0, 0, 0],
    [1, 1, 1],
    [1, 1, 1, 1, 1],
    [1, 1, 1, -1],
    [1, 1.5, 1, 1],
  ])
    expect(() => checkStageDays(wrong)).toThrow('stage-days-wrong')
})

describe('the curve of a crop', () => {
  const curve = { kcIni: 0.4, kcMid: 1.2, kcEnd: 0.6, heightMaxM: 1, stageDays: [1, 1, 1, 1] as const }

  it('is flat, rises, is flat and falls', () => {
    const at = (stage: Parameters<typeof coefficientAt>[1]['stage'], passed: number, kcRest?: number) =>
      coefficientAt({ ...curve, kcRest }, { stage, passed, day: 1 })
    expect(at('initial', 0.5)).toBe(0.4)
    expect(at('development', 0.25)).toBeCloseTo(0.6, 12)
    expect(at('mid-season', 0.5)).toBe(1.2)
    expect(at('late-season', 0.25)).toBeCloseTo(1.05, 12)
    expect([at('resting', 1), at('resting', 1, 0.3)]).toEqual([0.6, 0.3])
  })

  it('keeps its printed end where that is below 0.45, and bends it to the climate from there on', () => {
    const windy = { windMPerS: 5, minRelativeHumidityPercent: 25 } as never
    const end = (kcEnd: number) => localCurve({ ...curve, kcEnd }, { climate: windy }).kcEnd
    expect(end(0.44)).toBe(0.44)
    expect(end(0.45)).not.toBe(0.45)
    expect(localCurve(curve, { climate: windy }).kcIni).toBe(0.4)
    expect(localCurve(curve, { kcIniByWetting: 0.9 }).kcIni).toBe(0.9)
  })

  it('over straw loses half of the ground’s part under it, over film a fifth of all', () => {
    const over = (kind: 'straw' | 'film' | 'none', coverFraction: number) => {
      const { kcIni, kcMid, kcEnd } = mulchedCurve(curve, { kind, coverFraction })
      return [kcIni, kcMid, kcEnd].map((kc) => Math.round(kc * 1e6) / 1e6)
    }
    // At first 0.25 of the ground’s, grown 0.05; half of either under half a cover is a quarter.
    expect(over('straw', 0.5)).toEqual([0.3375, 1.1875, 0.5875])
    expect(over('straw', 1)).toEqual([0.275, 1.175, 0.575])
    expect(over('film', 0.5)).toEqual([0.36, 1.08, 0.54])
    expect(over('none', 1)).toEqual([0.4, 1.2, 0.6])
    expect(mulchedCurve(curve, null)).toBe(curve)
    expect(mulchedCurve({ ...curve, kcIni: 0.1 }, { kind: 'straw', coverFraction: 1 }).kcIni).toBe(0.1)
  })
})
