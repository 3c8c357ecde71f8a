import { describe, expect, it } from 'vitest'
import { tankDrawDay } from '../../../domain/abstractions/balance/tank-draws.ts'

const level = (on: string, moment: 'dawn' | 'dusk', atTime: string) => ({ on, moment, atTime })
const BOTH = [
  level('2026-06-01', 'dawn', '06:10'),
  level('2026-06-01', 'dusk', '17:00'),
  level('2026-06-02', 'dawn', '06:20'),
]

describe('the day of the balance to which a draw from a tank belongs', () => {
  it.each([
    ['06:19', '2026-06-02', '2026-06-01'],
    ['06:20', '2026-06-02', '2026-06-02'],
    ['18:30', '2026-06-01', '2026-06-01'],
  ])('begins with the dawn reading: %s on %s counts to %s', (startTime, on, expected) => {
    expect(tankDrawDay({ on, startTime, levels: BOTH })).toBe(expected)
  })

  it('ends at dusk where the next dawn was not read, and what runs later is on neither side', () => {
    const levels = BOTH.slice(0, 2)
    expect(tankDrawDay({ on: '2026-06-01', startTime: '16:59', levels })).toBe('2026-06-01')
    expect(tankDrawDay({ on: '2026-06-01', startTime: '17:00', levels })).toBeNull()
  })

  it('is the date itself without a clock or without a reading', () => {
    expect(tankDrawDay({ on: '2026-06-02', startTime: null, levels: BOTH })).toBe('2026-06-02')
    expect(tankDrawDay({ on: '2026-06-09', startTime: '05:00', levels: BOTH })).toBe('2026-06-09')
  })
})
