import { describe, expect, it } from 'vitest'
import { gravityMinutes, pumpLitresByMinute } from '../../../domain/rotation/timetable/tank/hours.ts'

const DAY = '2026-06-08'
const FLOW = Array.from({ length: 24 }, (_, hour) => (hour >= 7 && hour < 17 ? 6 : 0))
const pumps = [{ id: 'p', flowM3PerHByDay: { [DAY]: FLOW } }]
const rules = { minTurnMinutes: 10, changeoverMinutes: 5 }
const tank = { pumpId: 'p', gravityHours: [{ fromHour: 5, toHour: 20 }] }

/** The stretches of minutes that hold something, as clock times. */
function stretches(minutes: ArrayLike<number>): string[] {
  const clock = (minute: number) => `${Math.floor(minute / 60)}:${String(minute % 60).padStart(2, '0')}`
  const edges = Array.from({ length: minutes.length + 1 }, (_, at) => at).filter(
    (at) => Boolean(minutes[at]) !== Boolean(minutes[at - 1]),
  )
  return edges.flatMap((from, at) => (at % 2 === 0 ? [`${clock(from)}–${clock(edges[at + 1]!)}`] : []))
}

describe('the minutes of gravity turns', () => {
  it('lie in the tank’s own hours, a walk away from the pump’s', () => {
    expect(stretches(gravityMinutes({ pumps, unavailable: [], rules }, tank, DAY))).toEqual([
      '5:00–6:55',
      '17:05–20:00',
    ])
  })

  it('are none while turns are closed from an hour to another, for that day, pump or everybody, and not for one outlet', () => {
    const closed = { on: DAY, fromHour: 5.5, toHour: 6.25 }
    const open = (one: object) => stretches(gravityMinutes({ pumps, unavailable: [one], rules }, tank, DAY))
    expect(open(closed)).toEqual(['5:00–5:30', '6:15–6:55', '17:05–20:00'])
    expect(open({ ...closed, pumpId: 'p' })).toEqual(open(closed))
    for (const other of [{ on: '2026-06-09' }, { pumpId: 'q' }, { outletId: 'o' }])
      expect(open({ ...closed, ...other })).toEqual(['5:00–6:55', '17:05–20:00'])
    expect(open({ on: DAY })).toEqual([])
  })
})

describe('the litres of a pump by the minute', () => {
  it('are a sixtieth of its hour, and none while its turns are closed', () => {
    const litres = pumpLitresByMinute({ pumps, unavailable: [{ on: DAY, fromHour: 10, toHour: 12 }] }, 'p', DAY)
    expect(stretches(litres)).toEqual(['7:00–10:00', '12:00–17:00'])
    expect(litres[7 * 60]).toBe(100)
  })
})
