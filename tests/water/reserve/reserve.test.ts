import { describe, expect, it } from 'vitest'
import { dailyDrinkingM3, releasableThisWeekM3, reserveM3 } from '../../../domain/water/reserve.ts'

it('adds up what people and animals drink in a day', () => {
  const users = [
    { kind: 'person', heads: 180, litresPerHeadDay: 20 },
    { kind: 'cattle', heads: 30, litresPerHeadDay: 25 },
  ]
  expect(dailyDrinkingM3({ users })).toBeCloseTo(4.35, 9)
  expect(() => dailyDrinkingM3({ users: [{ kind: 'cattle', heads: -1, litresPerHeadDay: 25 }] })).toThrow(
    expect.objectContaining({ code: 'heads-below-zero' }),
  )
})

describe('the reserve', () => {
  // Worked case: 3.2 m3 drunk and 1.3 m3 lost a day over 75 days keep 337.5 m3 (derived).
  it('is every day of drinking and loss up to the late date of rain', () => {
    const keep = { dailyDrinkingM3: 3.2, dailyLossM3: 1.3, lateRainOn: '2025-11-15' }
    expect(reserveM3({ ...keep, fromDate: '2025-09-01' })).toBeCloseTo(337.5, 9)
    expect(reserveM3({ ...keep, fromDate: '2025-09-02' })).toBeCloseTo(333, 9)
    expect(reserveM3({ ...keep, fromDate: '2025-11-15' })).toBe(0)
    expect(reserveM3({ ...keep, fromDate: '2025-12-24' })).toBe(0)
  })

  it('is never below nothing where the banks give more than is drunk', () => {
    expect(reserveM3({ dailyDrinkingM3: 1, dailyLossM3: -2, fromDate: '2025-09-01', lateRainOn: '2025-10-01' })).toBe(0)
  })
})

describe('what may be released this week', () => {
  const input = {
    available: { lowM3: 500, likelyM3: 640, highM3: 800 },
    grade: 'probed' as const,
    weekStartOn: '2025-09-01',
    seasonEndOn: '2025-10-12',
    lateRainOn: '2025-11-15',
    dailyDrinkingM3: 3.2,
    dailyLossM3: 1.3,
  }

  it('is the likely storage less the reserve from the end of the week on, over the weeks left', () => {
    // 68 days from 8 September; 6 weeks from 1 September to the end of 12 October.
    const expected = (640 - 68 * 4.5) / 6
    const { releasableM3, ...working } = releasableThisWeekM3(input)
    expect(releasableM3).toBeCloseTo(expected, 9)
    expect(working).toEqual({
      availableM3: 640,
      basis: 'likely',
      reserveM3: 306,
      reserveFromOn: '2025-09-08',
      reserveDays: 68,
      weeksLeft: 6,
      drinkingThisWeekM3: expect.closeTo(22.4, 9),
      heldBy: 'plan',
    })
  })

  it('rests on the low storage until the sand is probed', () => {
    const guessed = releasableThisWeekM3({ ...input, grade: 'guessed' })
    expect(guessed.basis).toBe('low')
    expect(guessed.releasableM3).toBeCloseTo((500 - 306) / 6, 9)
  })

  it('shares out all that is left in the last week and after the season', () => {
    expect(releasableThisWeekM3({ ...input, weekStartOn: '2025-10-06' }).weeksLeft).toBe(1)
    expect(releasableThisWeekM3({ ...input, weekStartOn: '2025-10-20' }).weeksLeft).toBe(1)
  })

  it('keeps the week drinkable when the reserve would take it all, and never goes below nothing', () => {
    const poor = { ...input, available: { lowM3: 100, likelyM3: 150, highM3: 200 } }
    expect(releasableThisWeekM3(poor)).toMatchObject({ heldBy: 'drinking-first' })
    expect(releasableThisWeekM3(poor).releasableM3).toBeCloseTo(22.4, 9)
    const last = { ...input, available: { lowM3: 4, likelyM3: 5, highM3: 6 } }
    expect(releasableThisWeekM3(last).releasableM3).toBe(5)
    const none = { ...input, available: { lowM3: 0, likelyM3: 0, highM3: 0 } }
    expect(releasableThisWeekM3(none)).toMatchObject({ releasableM3: 0, heldBy: 'nothing-above-off-take' })
  })
})
