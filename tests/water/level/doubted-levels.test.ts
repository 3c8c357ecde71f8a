import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { addDays, datesFromTo } from '../../../domain/calendar.ts'
import { type BookLevel, doubtedLevels } from '../../../domain/water/doubted-levels.ts'
import { wedgeSandBody } from '../../../domain/water/sand/body.ts'
import { likelyStorageM3, waterLevelForStorageM } from '../../../domain/water/sand/storage.ts'
import { runs } from '../../support/runs.ts'

const START = '2026-06-01'

/** A true store that gives, drinks and loses day by day, read each dawn with the error of a careful stick. */
const season = fc.record({
  crestWidthM: fc.integer({ min: 8, max: 40 }),
  slope: fc.double({ min: 0.005, max: 0.03, noNaN: true }),
  valleyShape: fc.constantFrom('rectangle' as const, 'parabola' as const, 'triangle' as const),
  takenParts: fc.array(fc.double({ min: 0, max: 0.02, noNaN: true }), { minLength: 12, maxLength: 12 }),
  lossCm: fc.double({ min: 0, max: 1.5, noNaN: true }),
  slips: fc.array(fc.double({ min: -1.5, max: 1.5, noNaN: true }), { minLength: 12, maxLength: 12 }),
  every: fc.integer({ min: 1, max: 3 }),
  badAt: fc.integer({ min: 2, max: 9 }),
  badByCm: fc.integer({ min: 60, max: 180 }),
})

type Season = typeof season extends fc.Arbitrary<infer T> ? T : never

function read({ crestWidthM, slope, valleyShape, takenParts, lossCm, slips, every }: Season) {
  const measures = { crestLevelM: 100, crestHeightM: 3, crestWidthM, bedSlope: slope, valleyShape }
  const body = wedgeSandBody({ ...measures, specificYield: { low: 0.15, likely: 0.26, high: 0.32 } })
  const drawnM3 = new Map<string, number>()
  let levelM = 99.8
  const levels: BookLevel[] = []
  for (let day = 0; day < takenParts.length * every; day++) {
    const at = Math.floor(day / every)
    const on = addDays(START, day)
    if (day % every === 0) levels.push(line(String(at), on, levelM + slips[at]! / 100))
    const storedM3 = likelyStorageM3(body, levelM)
    const takenM3 = storedM3 * takenParts[at]!
    drawnM3.set(on, takenM3)
    levelM = waterLevelForStorageM({ body, storageM3: storedM3 - takenM3 })! - lossCm / 100
  }
  const takenM3 = (fromOn: string, beforeOn: string) =>
    datesFromTo(fromOn, addDays(beforeOn, -1)).reduce((total, on) => total + (drawnM3.get(on) ?? 0), 0)
  return { body, levels, lossCmPerDay: null, takenM3, wetDays: [] }
}

function line(id: string, readOn: string, waterLevelM: number): BookLevel {
  const careful = { readHour: 6, markLevelM: 100.5, levelErrorCm: 2, hoursSincePumping: 12, flowSeen: false }
  return { id, readOn, waterLevelM, ...careful }
}

describe('readings that wait to be borne out', () => {
  it('are none in a book whose every fall was drawn, drunk or lost', () => {
    fc.assert(
      fc.property(season, (seen) => {
        expect(doubtedLevels(read(seen))).toEqual([])
      }),
      runs(150),
    )
  })

  it('are the one bad stick, low or high, by day or beside a running pump, and no reading after it', () => {
    fc.assert(
      fc.property(season, fc.constantFrom(1, -1), fc.boolean(), (seen, sign, isPumping) => {
        const book = read({ ...seen, takenParts: seen.takenParts.map((part) => part / 4) })
        const good = book.levels[seen.badAt]!
        const waterLevelM = good.waterLevelM - (sign * seen.badByCm) / 100
        const bad =
          sign > 0 && isPumping
            ? { ...good, readHour: 12, hoursSincePumping: 'running' as const, levelErrorCm: 11 }
            : good
        const levels = book.levels.with(seen.badAt, { ...bad, waterLevelM })
        fc.pre(waterLevelM > book.body.bedLevelM)
        const [doubted, ...more] = doubtedLevels({ ...book, levels })
        expect(more).toEqual([])
        expect(doubted!.id).toBe(good.id)
        expect(doubted!.againstId).toBe(levels[seen.badAt - 1]!.id)
      }),
      runs(150),
    )
  })

  it('rule once the next dawn agrees: the water is really gone', () => {
    fc.assert(
      fc.property(season, (seen) => {
        const book = read({ ...seen, takenParts: seen.takenParts.map((part) => part / 4) })
        const fallen = book.levels.map((level, at) =>
          at < seen.badAt ? level : { ...level, waterLevelM: level.waterLevelM - seen.badByCm / 100 },
        )
        fc.pre(fallen.at(-1)!.waterLevelM > book.body.bedLevelM + 0.1)
        expect(doubtedLevels({ ...book, levels: fallen.slice(0, seen.badAt + 1) })).toHaveLength(1)
        expect(doubtedLevels({ ...book, levels: fallen })).toEqual([])
      }),
      runs(150),
    )
  })

  it('are none after rain or where flow was seen', () => {
    const levels = [line('a', START, 99), line('b', addDays(START, 1), 99.6)]
    const book = { ...read(fc.sample(season, { numRuns: 1, seed: 1 })[0]!), levels }
    expect(doubtedLevels(book).map(({ cause }) => cause)).toEqual(['rose-without-flow'])
    for (const wetOn of [START, addDays(START, 1)]) expect(doubtedLevels({ ...book, wetDays: [wetOn] })).toEqual([])
    for (const wetOn of [addDays(START, -1), addDays(START, 2)])
      expect(doubtedLevels({ ...book, wetDays: [wetOn] })).toHaveLength(1)
    expect(doubtedLevels({ ...book, levels: [levels[0]!, { ...levels[1]!, flowSeen: true }] })).toEqual([])
  })
})
