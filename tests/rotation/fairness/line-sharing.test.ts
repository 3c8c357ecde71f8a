import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { lineSharing, lineVolumes } from '../../../domain/rotation/fairness/line-sharing.ts'

/** The first outlet gives 2 m3/h after half an hour, the second 4 m3/h after a whole one. */
const PLOTS = [
  { plotId: 'a', flowM3PerH: 2, fillingHours: 0.5 },
  { plotId: 'b', flowM3PerH: 4, fillingHours: 1 },
]
const turns = (hours: number) => {
  const { sameHours, sameVolume } = lineSharing({ hours, plots: PLOTS })!
  return {
    sameHours: sameHours.turns,
    sameVolume: sameVolume.turns,
    inAllM3: [sameHours.volumeM3, sameVolume.volumeM3],
  }
}

describe('one round of a line', () => {
  it('gives each the same hours, or the same volume, of ten hours by hand', () => {
    // Five hours each: 4.5 of 2 m3 and 4 of 4 m3. Of 8.5 running hours each cubic metre for both takes three quarters of one.
    const { sameHours, sameVolume, inAllM3 } = turns(10)
    expect(sameHours).toEqual([
      { plotId: 'a', hours: 5, volumeM3: 9, hoursPerM3: 5 / 9 },
      { plotId: 'b', hours: 5, volumeM3: 16, hoursPerM3: 5 / 16 },
    ])
    expect(sameVolume.map(({ hours, volumeM3 }) => [hours, volumeM3])).toEqual([
      [expect.closeTo(17 / 3 + 0.5, 12), expect.closeTo(34 / 3, 12)],
      [expect.closeTo(17 / 6 + 1, 12), expect.closeTo(34 / 3, 12)],
    ])
    expect(inAllM3).toEqual([25, expect.closeTo(68 / 3, 12)])
  })

  it('brings nothing to who has no more than the filling, and is none where filling takes it all', () => {
    expect(turns(2).sameHours).toEqual([
      { plotId: 'a', hours: 1, volumeM3: 1, hoursPerM3: 1 },
      { plotId: 'b', hours: 1, volumeM3: 0, hoursPerM3: null },
    ])
    expect(turns(1.6).sameHours[1]!.volumeM3).toBe(0)
    expect(lineSharing({ hours: 1.5, plots: PLOTS })).toBeNull()
    expect(lineSharing({ hours: 1, plots: PLOTS })).toBeNull()
    expect(lineSharing({ hours: 5, plots: [] })).toBeNull()
  })

  it('brings what given hours bring', () => {
    expect(lineVolumes(PLOTS, [3, 0.25])).toEqual({
      turns: [
        { plotId: 'a', hours: 3, volumeM3: 5, hoursPerM3: 0.6 },
        { plotId: 'b', hours: 0.25, volumeM3: 0, hoursPerM3: null },
      ],
      volumeM3: 5,
    })
  })

  it('takes all its hours by either rule, and by the same hours never brings less in all', () => {
    const plot = fc.record({
      plotId: fc.constant('p'),
      flowM3PerH: fc.integer({ min: 1, max: 9 }),
      fillingHours: fc.constantFrom(0, 0.25, 0.5),
    })
    fc.assert(
      fc.property(fc.array(plot, { minLength: 1, maxLength: 6 }), (plots) => {
        const { sameHours, sameVolume } = lineSharing({ hours: 24, plots })!
        for (const { turns } of [sameHours, sameVolume])
          expect(turns.reduce((sum, { hours }) => sum + hours, 0)).toBeCloseTo(24, 9)
        expect(new Set(sameVolume.turns.map(({ volumeM3 }) => volumeM3)).size).toBe(1)
        expect(
          lineVolumes(
            plots,
            sameVolume.turns.map(({ hours }) => hours),
          ).volumeM3,
        ).toBeCloseTo(sameVolume.volumeM3, 9)
        const alike = plots.map((one) => ({ ...one, fillingHours: 0 }))
        const without = lineSharing({ hours: 24, plots: alike })!
        expect(without.sameHours.volumeM3).toBeGreaterThanOrEqual(without.sameVolume.volumeM3 - 1e-9)
      }),
    )
  })
})
