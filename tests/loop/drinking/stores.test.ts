import { describe, expect, it } from 'vitest'
import { beforeWide } from '../before.ts'
import { oursWide } from './ours.ts'
import { judgedWide, runWide, wideSeason } from './stores.ts'

const SEASONS = Array.from({ length: 120 }, (_, at) => wideSeason(20000 + at))

describe('the second world', () => {
  it('is as wide as it says', () => {
    const sizes = SEASONS.map(({ store }) => store.fullM3)
    expect(Math.min(...sizes)).toBeLessThan(200)
    expect(Math.max(...sizes)).toBeGreaterThan(10000)
    const wrong = SEASONS.map(({ tableM3, store }) => tableM3.at(-1)!.m3 / store.fullM3 - 1)
    expect(Math.min(...wrong)).toBeLessThan(-0.3)
    expect(Math.max(...wrong)).toBeGreaterThan(0.5)
    expect(SEASONS.some(({ onsetDay, lateDay }) => onsetDay > lateDay + 42)).toBe(true)
  })

  it('makes no water: a plan that gives nothing leaves more than one that gives all', () => {
    for (const season of SEASONS.slice(0, 20)) {
      const greedy = runWide(season, () => () => Number.POSITIVE_INFINITY)
      const alone = runWide(season, null)
      expect(greedy.dryDay ?? season.onsetDay).toBeLessThanOrEqual(alone.dryDay ?? season.onsetDay)
      expect(alone.yield).toBe(0)
    }
  })

  it('finds the drinking water safer under the path of the store than under the formula before it', () => {
    const [before, ours] = [judgedWide(SEASONS, beforeWide), judgedWide(SEASONS, oursWide())]
    expect(ours.dryBeforeRain).toBeLessThan(0.5 * before.dryBeforeRain)
    expect(ours.dryBeforeLate).toBeLessThan(0.3 * before.dryBeforeLate)
  })
})
