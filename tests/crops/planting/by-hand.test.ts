import { describe, expect, it } from 'vitest'
import { liftedAreaM2, plantableAreaM2 } from '../../../domain/crops/planting/plantable-area.ts'
import { tapedArea } from '../../../domain/crops/planting/taped-area.ts'
import { tank } from '../../water/path/tank.ts'

/**
 * A box whose floor is at 80 m3, nothing lost: 300, 500 or 700 m3 above it. For 98 days 1 m3 is drunk, a tenth more or less of it at
 * the ends; 10 m3 a week go to crops beside, and each square metre asks half a cubic metre in ten weeks.
 */
const plantable = (more: Partial<Parameters<typeof plantableAreaM2>[0]> = {}, storedM3 = [380, 580, 780]) =>
  plantableAreaM2({
    water: {
      ...{ fromOn: '2026-07-01', lateRainOn: '2026-09-09', extraWeeks: 4, dailyDrinkingM3: 1 },
      cases: {
        low: { store: tank(), storedM3: storedM3[0]! },
        likely: { store: tank(), storedM3: storedM3[1]! },
        high: { store: tank(), storedM3: storedM3[2]! },
      },
    },
    needsM3PerM2: Array(10).fill(0.05),
    needParts: { low: 0.8, likely: 1, high: 1.25 },
    besideM3: Array(10).fill(10),
    ...more,
  })

describe('the ground that a weir carries', () => {
  // Likely: 500 - 98 - 100 over 0.5. The need a fourth more, the crops beside with it: 500 - 98 - 125 over 0.625; and so on.
  const LIKELY = 604
  const OFF = {
    lowWater: (604 - 184.4) / 604,
    highNeed: (604 - 443.2) / 604,
    highWater: (1023.6 - 604) / 604,
    lowNeed: (805 - 604) / 604,
  }

  it('is the corner of little water and much need where both together are in much doubt', () => {
    const area = plantable()
    expect(area.likelyM2).toBeCloseTo(LIKELY, 1)
    expect(area.relativeErrorFraction).toBeCloseTo(Math.hypot(OFF.lowWater, OFF.highNeed), 3)
    expect(area).toMatchObject({ method: 'corner', heldBy: 'water' })
    expect(area.firstTrancheM2).toBeCloseTo((300 - 107.8 - 125) / 0.625, 1)
    expect(area.secondTrancheM2).toBeCloseTo(LIKELY - 107.52, 1)
    expect(area.highM2).toBeCloseTo(LIKELY * (1 + Math.hypot(OFF.highWater, OFF.lowNeed)), 0)
  })

  it('is the root of squares where they are in little', () => {
    const area = plantable({ needParts: { low: 0.9, likely: 1, high: 1.1 }, besideM3: undefined! }, [560, 580, 620])
    // Without crops beside: 402 over 0.5 is 804; 372.2 and 744.4 with little water; 402 over 0.55 is 730.9.
    expect(area.likelyM2).toBeCloseTo(804, 1)
    const off = Math.hypot((804 - 744.4) / 804, (804 - 402 / 0.55) / 804)
    expect(area).toMatchObject({ method: 'root-of-squares' })
    expect(area.firstTrancheM2).toBeCloseTo(804 * (1 - off), 0)
  })

  it('is no more than the pumps lift in the thirstiest week, drinking and crops beside first', () => {
    const lifted = (m3: number) => plantable({ liftM3: Array(10).fill(m3) })
    // 60 m3 a week leave 43, for 860 m2; 40 leave 23, for 460.
    expect(lifted(60)).toMatchObject({
      heldBy: 'water',
      likelyM2: expect.closeTo(LIKELY, 1),
      highM2: expect.closeTo(860, 6),
    })
    const held = lifted(40)
    expect(held).toMatchObject({ heldBy: 'pump', likelyM2: expect.closeTo(460, 6), highM2: expect.closeTo(460, 6) })
    expect(held.firstTrancheM2).toBeCloseTo(107.52, 1)
    expect(held.secondTrancheM2).toBeCloseTo(460 - 107.52, 1)
    expect(lifted(5)).toMatchObject({ likelyM2: 0, firstTrancheM2: 0, secondTrancheM2: 0 })
  })

  it('counts the weeks to the late rain, the last one begun with them, and one at least', () => {
    const until = (lateRainOn: string) => {
      const { water, ...rest } = {
        water: { fromOn: '2026-07-01', lateRainOn, extraWeeks: 0, dailyDrinkingM3: 0 },
        besideM3: Array(0),
      }
      const one = { store: tank(), storedM3: 180 }
      return plantable({
        ...rest,
        water: { ...water, cases: { low: one, likely: one, high: one } },
        needParts: { low: 1, likely: 1, high: 1 },
      }).likelyM2
    }
    // 100 m3 over 0.05 a week.
    expect(until('2026-07-08')).toBeCloseTo(2000, 0)
    expect(until('2026-07-15')).toBeCloseTo(1000, 0)
    expect(until('2026-07-09')).toBeCloseTo(2000 / (8 / 7), 0)
    expect(until('2026-06-01')).toBeCloseTo(2000, 0)
  })

  it('is nothing where nothing is left, and hopeful only by the hopeful water', () => {
    const none = plantable({}, [80, 170, 780])
    expect(none).toMatchObject({ likelyM2: 0, firstTrancheM2: 0, method: 'nothing-left', relativeErrorFraction: null })
    expect(none.highM2).toBeCloseTo((700 - 88.2 - 80) / 0.4, 0)
  })

  it('is refused where nothing is needed', () => {
    for (const wrong of [{ needsM3PerM2: [0, 0] }, { needsM3PerM2: [] }, { needParts: { low: 0, likely: 1, high: 1 } }])
      expect(() => plantable(wrong)).toThrow('season-need-not-above-zero')
  })

  it('for a lift is that of the thirstiest week, and without end where none asks', () => {
    const lifted = (needsM3PerM2: number[], liftM3: number[]) => liftedAreaM2({ needsM3PerM2, liftM3 })
    expect(lifted([0, 0.1, 0.05], [0, 5, 1])).toBe(20)
    expect(lifted([0.1, 0.1], [5])).toBe(0)
    expect(lifted([0.1], [-3])).toBe(0)
    expect(lifted([0, 0], [5, 5])).toBe(Number.POSITIVE_INFINITY)
  })
})

describe('an area by tape', () => {
  it('is two triangles with a diagonal, else mean length times mean width', () => {
    // Three, four and five make six square metres; five, five and six make twelve.
    expect(tapedArea({ sidesM: [3, 4, 6, 5], diagonalM: 5 })).toMatchObject({
      areaM2: expect.closeTo(18, 9),
      errorFraction: 0.03,
    })
    expect(tapedArea({ sidesM: [3, 4, 6, 5] }).areaM2).toBe(4.5 * 4.5)
  })

  it('doubts a corner from three degrees off square on, either way', () => {
    const corner = (degrees: number) => {
      const diagonalM = Math.sqrt(1 + 4 - 4 * Math.cos((degrees * Math.PI) / 180))
      const { cornerDeg, rightAngleDoubted } = tapedArea({ sidesM: [1, 2, 1, 2], diagonalM })
      expect(cornerDeg).toBeCloseTo(degrees, 6)
      return rightAngleDoubted
    }
    expect([87.1, 92.9, 86.9, 93.1].map(corner)).toEqual([false, false, true, true])
  })

  it('is refused of tapes that only touch', () => {
    expect(() => tapedArea({ sidesM: [2, 3, 2, 3], diagonalM: 5 })).toThrow('triangle-does-not-close')
    for (const at of [0, 1, 2, 3]) {
      const sidesM = [2, 3, 2, 3].map((side, place) => (place === at ? -1 : side)) as [number, number, number, number]
      expect(() => tapedArea({ sidesM })).toThrow('side-not-above-zero')
    }
  })
})
