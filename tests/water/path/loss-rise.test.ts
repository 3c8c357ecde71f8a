import { describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { lossRise, type SeenStretch } from '../../../domain/water/path/loss-rise.ts'
import { tank } from './tank.ts'

describe('more lost than the path expected', () => {
  /** Dry weeks of the box, 3.2 m3 to the centimetre: 1 m3 lost and 1 drawn a day are expected, so much more is gone at their end. */
  const found = (moreM3: number, days = [7, 7, 7], change: (all: SeenStretch[]) => SeenStretch[] = (all) => all) => {
    let on = '2026-06-01'
    let storedM3 = 500
    const stretches = days.map((length, at): SeenStretch => {
      const one = {
        kind: 'dry' as const,
        fromOn: on,
        toOn: addDays(on, length),
        days: length,
        openingM3: storedM3,
        drawnM3: length,
      }
      storedM3 -= 2 * length + (at === days.length - 1 ? moreM3 : 0)
      on = one.toOn
      return { ...one, closingM3: storedM3, closingLevelM: 100 + storedM3 / 320 }
    })
    return lossRise({ store: tank(1), stretches: change(stretches) })
  }

  it('raises the loss by what it exceeds, from three centimetres on and at most fourfold', () => {
    expect(found(0)).toMatchObject({ rise: 1, fromOn: '2026-06-01', toOn: '2026-06-22' })
    expect(found(0)!.lostM3).toBeCloseTo(21, 9)
    expect(found(0)!.expectedM3).toBeCloseTo(21, 9)
    expect(found(9.5)!.rise).toBe(1)
    expect(found(9.7)!.rise).toBeCloseTo(30.7 / 21, 9)
    expect(found(9.7)!.lowerCm).toBeCloseTo(9.7 / 3.2, 6)
    expect(found(62)!.rise).toBeCloseTo(83 / 21, 9)
    expect(found(64)!.rise).toBe(4)
    expect(found(-30)!.rise).toBe(1)
  })

  it('looks at three weeks at least and at four, back from the last reading to the last rain or gap', () => {
    expect(found(0, [7, 7, 6])).toBeNull()
    expect(found(0, [])).toBeNull()
    expect(found(0, [7, 7, 7, 7, 7])).toMatchObject({ fromOn: '2026-06-08' })
    expect(found(0, [7, 8, 7, 7, 6])).toMatchObject({ fromOn: '2026-06-08' })
    const wet = (at: number) => (all: SeenStretch[]) =>
      all.map((one, place) => (place === at ? { ...one, kind: 'wet' as const } : one))
    expect(found(0, [7, 7, 7, 7], wet(0))).toMatchObject({ fromOn: '2026-06-08' })
    expect(found(0, [7, 7, 7, 7], wet(1))).toBeNull()
    const gap = (all: SeenStretch[]) => all.map((one, place) => (place === 0 ? { ...one, toOn: '2026-06-07' } : one))
    expect(found(0, [7, 7, 7, 7], gap)).toMatchObject({ fromOn: '2026-06-08' })
  })
})
