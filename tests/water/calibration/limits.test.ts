import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { calibrateCurve } from '../../../domain/water/calibration/calibrate.ts'
import { boxBody } from '../path/tank.ts'

/** Day after day a box that falls as so many m3 were drawn from it, 320 to the metre; a wet day parts two runs. */
function season(drawnM3: readonly (number | 'wet')[]) {
  let levelM = 101.5
  return drawnM3.map((drawn, at) => {
    const openingLevelM = levelM
    levelM -= drawn === 'wet' ? 0 : drawn / 320
    return {
      ...{ fromOn: addDays('2025-05-01', at), toOn: addDays('2025-05-01', at + 1), days: 1 },
      ...{ kind: drawn === 'wet' ? ('wet' as const) : ('dry' as const), openingLevelM, closingLevelM: levelM },
      ...{ drawnM3: drawn === 'wet' ? 0 : drawn, spilledM3: 0, leakFromAboveM3: 0, spillFromAboveM3: 0 },
    }
  })
}
const calibrated = (drawnM3: readonly (number | 'wet')[]) =>
  calibrateCurve({ body: boxBody(), stretches: season(drawnM3) })
const times = (count: number, m3: number) => Array.from({ length: count }, () => m3)

describe('what a calibration asks for', () => {
  it('are ten readings of the level: nine days give them, eight do not', () => {
    expect(calibrated(times(8, 12)).refused).toEqual(['fewer-than-ten-readings'])
    expect(calibrated(times(9, 12)).refused ?? []).not.toContain('fewer-than-ten-readings')
    // Two runs of five readings each.
    const two = calibrated([...times(4, 12), 'wet', ...times(4, 12)])
    expect([two.readings, (two.refused ?? []).includes('fewer-than-ten-readings')]).toEqual([10, false])
  })

  it('are twenty centimetres of fall, and water drawn in one of its runs', () => {
    const small = calibrated(times(12, 5))
    expect([small.refused, small.fallCm]).toEqual([['less-than-20-cm-of-fall'], expect.closeTo(18.75, 6)])
    expect(calibrated(times(12, 6)).refused ?? []).not.toContain('less-than-20-cm-of-fall')
    expect(calibrated(times(12, 0)).refused).toContain('nothing-drawn')
    expect(calibrated([...times(12, 0), 'wet', ...times(9, 12)]).refused ?? []).not.toContain('nothing-drawn')
  })

  it('take twenty centimetres by the stick for twenty, at whatever level it stood', () => {
    // Nothing drawn, so that no fit is tried: only what is missing is told.
    const missing = (fromCm: number, fallCm: number) => {
      const stretches = season(times(10, 0)).map((one, at) => ({
        ...one,
        openingLevelM: (10_000 + fromCm - (fallCm / 10) * at) / 100,
        closingLevelM: (10_000 + fromCm - (fallCm / 10) * (at + 1)) / 100,
      }))
      return calibrateCurve({ body: boxBody(), stretches }).refused!.join(' ')
    }
    const levelsCm = Array.from({ length: 170 }, (_, at) => 25 + at)
    expect([...new Set(levelsCm.map((fromCm) => missing(fromCm, 20)))]).toEqual(['nothing-drawn'])
    expect([...new Set(levelsCm.map((fromCm) => missing(fromCm, 19.9)))]).toEqual([
      'less-than-20-cm-of-fall nothing-drawn',
    ])
  })

  it('counts a reading at the crest in the highest band, one at the bed in the lowest, and none twice', () => {
    // From the crest to the bed in ten days of twenty centimetres; six bands of a third of a metre, of which two meet at 101 m.
    const stretches = season(times(10, 64)).map((one, at) => ({
      ...one,
      ...{ openingLevelM: (1020 - 2 * at) / 10, closingLevelM: (1018 - 2 * at) / 10 },
    }))
    const found = calibrateCurve({ body: boxBody(), stretches })
    if (found.refused) throw new Error(found.refused.join())
    // 100.0 and .2, .4 and .6, .8, 101.0 and .2, .4 and .6, .8 and 102.0 m.
    expect(found.bands.map(({ readings }) => readings)).toEqual([2, 2, 1, 2, 2, 2])
  })

  it('is less where the pump rested ten days: a table of probed sand may then be in doubt by four tenths, else by three', () => {
    const most = (rests: number, restM3: number) => {
      const found = calibrated([...times(12, 4), ...times(rests, restM3)])
      return found.refused ? found.mostHalfWidth : null
    }
    expect([most(9, 0), most(10, 0)]).toEqual([0.3, 0.4])
    // Less than 35 of a hundred of the usual is a rest, as much is none.
    expect([most(10, 0.7), most(10, 1.6)]).toEqual([0.4, 0.3])
  })
})
