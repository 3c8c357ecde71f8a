import { describe, expect, it } from 'vitest'
import { addDays, daysBetween } from '../../../domain/calendar.ts'
import { steadyLoss } from '../../../domain/water/balance/steady-loss.ts'
import { chanceOf } from '../../loop/chance.ts'

/**
 * Dry weeks of a weir of 3 m3 a centimetre: 20 to 60 m3 fall, the yield by which they are reckoned is wrong by up to a
 * fifth (its range a quarter either way), readings err by a centimetre (range two), and some m3 a week are not logged.
 */
function weeks(seed: number, count: number, unloggedM3: number, fromWeek = 0) {
  const chance = chanceOf(seed)
  const yieldTimes = chance.between(0.8, 1.2)
  const errorsM3 = Array.from({ length: count + 1 }, () => 3 * chance.normal())
  return Array.from({ length: count }, (_, week) => {
    const drawnM3 = chance.between(20, 60)
    const missingM3 = week >= fromWeek ? unloggedM3 : 0
    const fallM3 = yieldTimes * (drawnM3 + missingM3) + errorsM3[week + 1]! - errorsM3[week]!
    return {
      fromOn: addDays('2026-06-04', 7 * week),
      toOn: addDays('2026-06-04', 7 * week + 7),
      days: 7,
      kind: 'dry' as const,
      fallM3,
      unexplainedM3: fallM3 - drawnM3,
      openingErrorM3: 6,
      closingErrorM3: 6,
      toleranceParts: { yieldLowM3: -0.25 * fallM3, yieldHighM3: 0.25 * fallM3, levelM3: 8.5, meterM3: 1 },
    }
  })
}

const SEEDS = Array.from({ length: 100 }, (_, at) => at + 1)
const seen = (count: number, unloggedM3: number, fromWeek = 0) =>
  SEEDS.filter((seed) => steadyLoss(weeks(seed, count, unloggedM3, fromWeek))?.isSeen).length

describe('a steady loss over many stretches', () => {
  it('is seen in nearly nine of ten books where 12 m3 are unlogged in each of ten weeks', () => {
    expect(seen(10, 12)).toBeGreaterThanOrEqual(87)
  })

  it('is seen where it began half way, and the day is named to a week or two', () => {
    expect(seen(10, 12, 5)).toBeGreaterThanOrEqual(95)
    const begun = SEEDS.flatMap((seed) => steadyLoss(weeks(seed, 12, 12, 6))?.begunOn ?? [])
    const near = begun.filter((on) => Math.abs(daysBetween('2026-06-04', on) - 42) <= 14)
    expect(near.length).toBeGreaterThanOrEqual(80)
  })

  it('is hardly ever seen where nothing is missing', () => {
    expect(seen(10, 0)).toBeLessThanOrEqual(5)
  })

  it('is seen the sooner the longer the row, and names what would narrow it', () => {
    const [few, many] = [steadyLoss(weeks(1, 5, 0))!, steadyLoss(weeks(1, 20, 0))!]
    expect(many.leastSeenM3PerWeek).toBeLessThan(few.leastSeenM3PerWeek)
    for (const one of [few, many]) expect(one.leastSeenWithItM3PerWeek).toBeLessThan(one.leastSeenM3PerWeek)
    expect([3, 4].map((count) => steadyLoss(weeks(1, count, 12)) === null)).toEqual([true, false])
  })
  it('is told of a weir that did not fall at all while water was drawn: what was drawn came to it', () => {
    const flat = weeks(1, 4, 0).map((one) => ({
      ...{ ...one, fallM3: 0, unexplainedM3: -6 },
      toleranceParts: { ...one.toleranceParts, yieldLowM3: 0, yieldHighM3: 0 },
    }))
    // Six m3 a week were drawn in each of the four.
    expect(steadyLoss(flat)).toMatchObject({ m3PerWeek: expect.closeTo(-6, 6), isSeen: false, weeks: 4 })
  })
})
