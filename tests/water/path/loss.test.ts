import { describe, expect, it } from 'vitest'
import { lossByLevelM3 } from '../../../domain/water/path/loss-by-level.ts'
import { lossRise, type SeenStretch } from '../../../domain/water/path/loss-rise.ts'
import { tank } from './tank.ts'

describe('the loss by level', () => {
  // 1,000 m3 to each metre over a bed at 100 m; a fall of 1 cm a day measured 0.3 m under the sand is 10 m3 a day.
  const curve = {
    bedLevelM: 100,
    crestLevelM: 102,
    specificYield: 0.25,
    storedM3: (levelM: number) => 1000 * (levelM - 100),
  }
  const lossAt = lossByLevelM3(curve, { fallCmPerDay: 1, measuredAtLevelM: 101.7 })

  it('is the measured fall where it was measured', () => {
    expect(lossAt(101.7)).toBeCloseTo(10, 6)
  })

  it('falls by half with the evaporation of the sand and by half with the head', () => {
    // Hellwig as commonly quoted (memory): 0.5 of open water at 0.3 m, 0.1 at 0.6 m, nothing from 1 m on.
    expect(lossAt(101.4)).toBeCloseTo(5 * (0.1 / 0.5) + 5 * (1.4 / 1.7), 6)
    expect(lossAt(101.1)).toBeCloseTo(5 * (0.025 / 0.5) + 5 * (1.1 / 1.7), 6)
  })

  it('never vanishes: three parts in a thousand of what is stored are lost in a day', () => {
    const tight = lossByLevelM3(curve, { fallCmPerDay: 0, measuredAtLevelM: 101 })
    expect(tight(101)).toBeCloseTo(3, 9)
    expect(lossByLevelM3(curve, { fallCmPerDay: null, measuredAtLevelM: 101 })(101.5)).toBeCloseTo(4.5, 9)
  })

  it('counts a rise by itself as no loss, never as water to come', () => {
    const banks = lossByLevelM3(curve, { fallCmPerDay: -2, measuredAtLevelM: 101 })
    expect(banks(101)).toBeCloseTo(3, 9)
  })

  it('takes no more for evaporation than open water gives off', () => {
    // Measured at 0.95 m under the sand, where a fortieth of 8 mm evaporates from 4,000 m2 of sand: 0.4 of 20 m3.
    const deep = lossByLevelM3(curve, { fallCmPerDay: 2, measuredAtLevelM: 101.05 })
    expect(deep(101.05)).toBeCloseTo(20, 6)
    expect(deep(102)).toBeCloseTo(0.4 * (0.92 / 0.0125) + 19.6 * (2 / 1.05), 4)
  })
})

describe('what the sand lost beyond its measured loss', () => {
  /** A box of 320 m3 to the metre; 1 m3 a day lost by measure, 10 m3 a week drawn. */
  const week = (at: number, fromM3: number, lostM3: number, kind: SeenStretch['kind'] = 'dry'): SeenStretch => ({
    kind,
    fromOn: `2025-07-${String(1 + 7 * at).padStart(2, '0')}`,
    toOn: `2025-07-${String(8 + 7 * at).padStart(2, '0')}`,
    days: 7,
    openingM3: fromM3,
    closingM3: fromM3 - lostM3 - 10,
    closingLevelM: 100 + (fromM3 - lostM3 - 10) / 320,
    drawnM3: 10,
  })
  const run = (lostM3: number, weeks = 3) => {
    let fromM3 = 500
    return Array.from({ length: weeks }, (_, at) => {
      const one = week(at, fromM3, lostM3)
      fromM3 = one.closingM3
      return one
    })
  }

  it('multiplies the loss up by the excess', () => {
    // 14 m3 lost a week where 7 were expected: twice as much; 21 m3 are 6.6 cm.
    const found = lossRise({ store: tank(1), stretches: run(14) })!
    expect(found.expectedM3).toBeCloseTo(21, 6)
    expect(found.lostM3).toBeCloseTo(42, 6)
    expect(found.lowerCm).toBeCloseTo(100 * (21 / 320), 4)
    expect(found.rise).toBeCloseTo(2, 6)
  })

  it('lets what two sticks can err by pass', () => {
    expect(lossRise({ store: tank(1), stretches: run(10) })!.rise).toBe(1)
  })

  it('never goes down, and not beyond four times', () => {
    expect(lossRise({ store: tank(1), stretches: run(0) })!.rise).toBe(1)
    expect(lossRise({ store: tank(1), stretches: run(70) })!.rise).toBe(4)
  })

  it('asks for three dry weeks in a row, and looks at no more than four', () => {
    expect(lossRise({ store: tank(1), stretches: run(14, 2) })).toBeNull()
    const wet = run(14).map((one, at) => (at === 1 ? { ...one, kind: 'wet' as const } : one))
    expect(lossRise({ store: tank(1), stretches: wet })).toBeNull()
    expect(lossRise({ store: tank(1), stretches: run(14, 4) })).toMatchObject({
      fromOn: '2025-07-01',
      toOn: '2025-07-29',
    })
  })
})
