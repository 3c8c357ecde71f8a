import { describe, expect, it } from 'vitest'
import { meterNightTest } from '../../domain/abstractions/night-test.ts'

// Worked by hand: a counter with five digits that shows tenths of a m3.
const test = (readings: Parameters<typeof meterNightTest>[0]['readings']) =>
  meterNightTest({ readings, meterDigits: 5, readingStepM3: 0.1 })
const line = (lineId: string | null, startM3: number, endM3: number, hours = 7) => ({ lineId, startM3, endM3, hours })

describe('a night test by the meter', () => {
  it('tells line by line what passed, by the hour, and in all', () => {
    const { losses, totalLostM3 } = test([line(null, 100, 100.35), line('upper', 100.4, 101.8, 2)])!
    expect(losses).toMatchObject([
      { lineId: null, lostM3: 0.35, shows: true },
      { lineId: 'upper', lostM3: 1.4, shows: true },
    ])
    expect(losses.map(({ lossM3PerH }) => lossM3PerH)).toEqual([expect.closeTo(0.05, 9), expect.closeTo(0.7, 9)])
    expect(totalLostM3).toBe(1.75)
  })

  it('shows nothing that two readings of half a tenth each can hide, which is 0.07 m³', () => {
    const { losses } = test([line('a', 100, 100.07), line('b', 100, 100.08)])!
    expect(losses.map(({ shows }) => shows)).toEqual([false, true])
    expect(losses[0]!.toleranceM3).toBeCloseTo(0.0707, 4)
  })

  it('goes through the last number of the counter, and says nothing where it ran back', () => {
    expect(test([line('a', 99_999.9, 0.2)])!.totalLostM3).toBeCloseTo(0.3, 9)
    expect(test([line('a', 100, 101), line('b', 100, 90)])).toBeNull()
  })

  it('takes no night without hours', () => {
    expect(() => test([line('a', 100, 101, 0)])).toThrow()
  })
})
