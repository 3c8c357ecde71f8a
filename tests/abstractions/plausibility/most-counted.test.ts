import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { plausibility } from '../../../domain/abstractions/plausibility/flags.ts'
import { countedInstead, mostCounted } from '../../../domain/abstractions/plausibility/most-counted.ts'

const TURN = { outletId: '3', pumpId: '1', openingM3: 1204, closingM3: 2204, meterDigits: 5 }
const CLOCK = { startAt: '2026-06-11T05:00:00.000Z', stopAt: '2026-06-11T07:00:00.000Z' }

describe('the most that is counted of two meter readings', () => {
  it('is the pump’s flow with a tenth over it, in the hours written and a half-hour of slack', () => {
    const most = mostCounted({ turn: { ...TURN, ...CLOCK }, pumpMaxM3PerH: 3, pumpDayHours: 10 })!
    expect(most.mostM3).toBeCloseTo(3 * 1.1 * 2.5, 9)
    expect(most.wholeDayM3).toBeCloseTo(33, 9)
  })

  it('is the pump’s whole day where no hours are written, and unknown where the pump is', () => {
    expect(mostCounted({ turn: TURN, pumpMaxM3PerH: 3, pumpDayHours: 10 })!.mostM3).toBeCloseTo(33, 9)
    expect(mostCounted({ turn: TURN })).toBeNull()
  })

  it('points out a volume above a whole day without hours, with litres read along as the cause', () => {
    const turn = { ...TURN, closingM3: 5204 }
    const flags = plausibility({ turn, pumpMaxM3PerH: 3, pumpDayHours: 10 })
    expect(flags).toMatchObject([{ code: 'more-than-a-pump-day', likelyCause: 'litres-read-as-m3' }])
    expect(plausibility({ turn: { ...TURN, closingM3: 1230 }, pumpMaxM3PerH: 3, pumpDayHours: 10 })).toEqual([])
  })

  it('never counts more than the clock gives, and never doubts more than a day’s pumping', () => {
    const volume = fc.double({ min: 0, max: 1e6, noNaN: true })
    fc.assert(
      fc.property(volume, fc.option(volume), fc.double({ min: 1, max: 500, noNaN: true }), (extra, clock, day) => {
        const most = { mostM3: day / 2, wholeDayM3: day }
        const byClockM3 = clock === null ? null : Math.min(clock, day)
        const readM3 = most.mostM3 + extra
        const counted = countedInstead({ readM3, byClockM3, byClockErrorM3: 0, most })
        expect(counted.volumeM3).toBe(byClockM3 ?? 0)
        expect(counted.volumeM3 + counted.uncertaintyM3).toBeLessThanOrEqual(day * (1 + 1e-12))
        expect(counted.uncertaintyM3).toBeGreaterThanOrEqual(0)
      }),
    )
  })
})
