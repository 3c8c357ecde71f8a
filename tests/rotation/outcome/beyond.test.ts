import { describe, expect, it } from 'vitest'
import { beyondEquals, type WeekOfPlot } from '../../../domain/rotation/outcome/made-good.ts'
import { settleMissed } from '../../../domain/rotation/outcome/missed.ts'
import { stopReadingM3 } from '../../../domain/rotation/outcome/stop-reading.ts'

const of = (plotId: string, dueM3: number, receivedM3: number, more: Partial<WeekOfPlot> = {}): WeekOfPlot => ({
  ...{ weekStartOn: '2026-06-08', plotId, pumpIds: ['p'], isProtected: false, dueM3, receivedM3, missedM3: 0 },
  makesGood: false,
  ...more,
})
const OWN = of('a', 8, 7, { pumpIds: ['q', 'p'], makesGood: true })
const beyond = (...others: WeekOfPlot[]) => beyondEquals({ weeks: [OWN, ...others] })[0]!.beyondM3

describe('what a plot was given beyond its equals', () => {
  it('is what came beyond the part of its due that the week could give', () => {
    // The others were due 10 and given 4, one of which was thrown away; a half of 8 is 4, and 3 of 7 are beyond it.
    expect(beyond(of('b', 6, 1, { missedM3: 1 }), of('c', 4, 3))).toBe(3)
    expect(beyond(of('b', 6, 6))).toBe(0)
    expect(beyond(of('b', 6, 3, { pumpIds: ['p', 'far'] }))).toBe(3)
    expect(beyond(of('b', 6, 5.25))).toBe(0)
    expect(beyond(of('b', 6, 5.2))).toBe(0.067)
  })

  it('takes the whole of its due for the mark where nobody is its equal', () => {
    const poor = { pumpIds: ['q'] }
    expect(beyond(of('b', 10, 0, poor))).toBe(7)
    for (const other of [
      of('b', 10, 0, { pumpIds: ['far'] }),
      of('b', 10, 0, { isProtected: true }),
      of('b', 10, 0, { makesGood: true }),
      of('b', 10, 0, { weekStartOn: '2026-06-15' }),
      of('a', 10, 0),
      of('b', 0, 3),
    ])
      expect(beyond(other)).toBe(0)
    expect(beyondEquals({ weeks: [{ ...OWN, receivedM3: 9.5 }] })).toEqual([
      { weekStartOn: '2026-06-08', plotId: 'a', beyondM3: 1.5 },
    ])
  })

  it('is asked of those alone that make something good', () => {
    expect(beyondEquals({ weeks: [of('b', 1, 5), of('c', 1, 9)] })).toEqual([])
  })
})

it('a turn made good to the litre is neither running nor lapsed', () => {
  const settled = settleMissed({
    missed: [{ plotId: 'a', on: '2026-06-15', cause: 'excused', volumeM3: 5, excusedDays: 14 }],
    beyond: [{ plotId: 'a', weekStartOn: '2026-06-22', beyondM3: 5 }],
    weekStartOn: '2026-06-29',
  })
  expect(settled).toEqual({ forfeitedM3: {}, lapsedM3: {}, running: [] })
})

it('a turn has its water where the meter has gone on by so much, over its last figure to nought', () => {
  const stop = (startM3: number, volumeM3: number, meterDigits = 4) => stopReadingM3({ startM3, volumeM3, meterDigits })
  expect([stop(120, 3.5), stop(120.25, 0), stop(0.1, 0.2)]).toEqual([123.5, 120.25, 0.3])
  expect([stop(9996.5, 3.499), stop(9996.5, 3.5), stop(9996.5, 5)]).toEqual([9999.999, 0, 1.5])
  expect([stop(998, 4, 3), stop(998, 4, 5)]).toEqual([2, 1002])
})
