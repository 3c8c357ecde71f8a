import { describe, expect, it } from 'vitest'
import { addDays, daysBetween } from '../../../domain/calendar.ts'
import { type BookLevel, doubtedLevels } from '../../../domain/water/doubted-levels.ts'
import { boxBody } from '../path/tank.ts'

const FIRST = '2026-07-01'

/** A dawn reading so many days after the first, a centimetre off either way. */
const read = (id: string, day: number, waterLevelM: number, more: Partial<BookLevel> = {}): BookLevel => ({
  ...{ id, readOn: addDays(FIRST, day), readHour: 6, waterLevelM, markLevelM: 102, levelErrorCm: 1 },
  ...{ hoursSincePumping: 12, flowSeen: false, ...more },
})
type More = Partial<Pick<Parameters<typeof doubtedLevels>[0], 'lossCmPerDay' | 'takenM3' | 'wetDays'>>
/** The box holds 3.2 m3 to the centimetre, at least three quarters of that; 24 m3 were taken, 7.5 cm or at most 10. */
const doubted = (levels: BookLevel[], more: More = {}) =>
  doubtedLevels({ body: boxBody(), levels, lossCmPerDay: null, takenM3: () => 24, wetDays: [], ...more })
/** Ten days after 101.5 m. */
const second = (waterLevelM: number, more: Partial<BookLevel> = {}, book: More = {}, first: Partial<BookLevel> = {}) =>
  doubted([read('a', 0, 101.5, first), read('b', 10, waterLevelM, more)], book).map(({ cause }) => cause)

describe('a fall', () => {
  it('is doubted beyond what was taken, three centimetres a day and the sticks’ errors', () => {
    // 10 + 30 + 2 cm.
    expect(second(101.081)).toEqual([])
    const [found] = doubted([read('a', 0, 101.5), read('b', 10, 101.079)])
    // Left by what is known: 7.5 cm taken and a centimetre a day.
    expect(found).toEqual({
      ...{ id: 'b', againstId: 'a', cause: 'fell-too-fast', expectedLevelM: expect.closeTo(101.325, 5) },
      apartCm: expect.closeTo(24.6, 3),
    })
  })

  it('may be thrice the loss that is known, where that is more', () => {
    const book = { lossCmPerDay: 2 }
    expect([second(100.781, {}, book), second(100.779, {}, book)]).toEqual([[], ['fell-too-fast']])
    expect(second(101.079, {}, { lossCmPerDay: 0.5 })).toEqual(['fell-too-fast'])
    expect(second(101.081, {}, { lossCmPerDay: 0.5 })).toEqual([])
  })

  it('beside a pump may be no more than the usual loss, up to eight hours after it', () => {
    // 10 + 10 + 2 cm.
    for (const hoursSincePumping of ['running', 0, 7.9] as const) {
      expect(second(101.281, { hoursSincePumping })).toEqual([])
      expect(second(101.279, { hoursSincePumping })).toEqual(['pump-drew-it-down'])
    }
    for (const hoursSincePumping of [8, null]) expect(second(101.279, { hoursSincePumping })).toEqual([])
  })

  it('counts what was taken before a dawn reading, and on the day of a later one', () => {
    const takenM3 = (fromOn: string, beforeOn: string) => 2.4 * daysBetween(fromOn, beforeOn)
    // From nine o’clock eleven days, a centimetre each.
    expect([second(101.081, { readHour: 8.9 }, { takenM3 }), second(101.079, { readHour: 8.9 }, { takenM3 })]).toEqual([
      [],
      ['fell-too-fast'],
    ])
    expect([second(101.071, { readHour: 9 }, { takenM3 }), second(101.069, { readHour: 9 }, { takenM3 })]).toEqual([
      [],
      ['fell-too-fast'],
    ])
  })

  it('is held against no reading of another mark, nor of more than thirty days before', () => {
    expect(second(100.2, { markLevelM: 102.1 })).toEqual([])
    const later = (days: number) =>
      doubted([read('a', 0, 101.9), read('b', days, 100.1)], { takenM3: () => 0, lossCmPerDay: 0.1 })
    expect([later(30).length, later(31).length]).toEqual([1, 0])
  })

  it('of water over the crest begins at the crest', () => {
    expect(doubted([read('a', 0, 102.5), read('b', 10, 101.581)])).toEqual([])
    expect(doubted([read('a', 0, 102.5), read('b', 10, 101.579)])).toHaveLength(1)
  })
})

describe('a rise', () => {
  it('is doubted beyond ten centimetres and the sticks’ errors, without rain or flow', () => {
    expect(second(101.619)).toEqual([])
    expect(second(101.621)).toEqual(['rose-without-flow'])
    expect(doubted([read('a', 0, 101.5), read('b', 10, 101.63)])[0]!.apartCm).toBeCloseTo(13, 6)
    expect(second(101.7, { flowSeen: true })).toEqual([])
    expect(second(101.7, {}, {}, { flowSeen: true })).toEqual([])
    expect(second(101.7, {}, {}, { hoursSincePumping: 'running' })).toEqual([])
    expect(second(101.7, {}, {}, { hoursSincePumping: 7 })).toEqual([])
  })

  it('of just twelve centimetres by the stick is believed at every level, of thirteen at none', () => {
    const risen = (fromCm: number, cm: number) =>
      doubted([read('a', 0, (10_000 + fromCm) / 100), read('b', 10, (10_000 + fromCm + cm) / 100)]).length
    const levelsCm = Array.from({ length: 180 }, (_, at) => 5 + at)
    expect(levelsCm.filter((fromCm) => risen(fromCm, 12) > 0)).toEqual([])
    expect(levelsCm.filter((fromCm) => risen(fromCm, 13) === 0)).toEqual([])
    // The doubted one of 100.9 m is borne out by one that rose from it by no more than that.
    const borne = (lowCm: number) =>
      doubted([read('a', 0, 101.5), read('b', 10, lowCm / 100), read('c', 11, (lowCm + 12) / 100)]).length
    expect([10_070, 10_075, 10_080, 10_085, 10_090, 10_093].map(borne)).toEqual([0, 0, 0, 0, 0, 0])
  })

  it('is explained by rain from the first day to the last, and by none before or after', () => {
    const wet = (day: number) => second(101.7, {}, { wetDays: [addDays(FIRST, day)] })
    expect([wet(0), wet(10), wet(5)]).toEqual([[], [], []])
    expect([wet(-1), wet(11)]).toEqual([['rose-without-flow'], ['rose-without-flow']])
  })
})

describe('a doubted reading', () => {
  const followed = (...levels: BookLevel[]) =>
    doubted([read('a', 0, 101.5), read('b', 10, 101), ...levels]).map(({ id }) => id)

  it('rules once a calm one agrees, which neither rose from it nor fell too fast', () => {
    expect(followed()).toEqual(['b'])
    expect(followed(read('c', 11, 100.95))).toEqual([])
    // Ten and two centimetres over a reading of 100.9 m.
    const low = (levelM: number) => doubted([read('a', 0, 101.5), read('b', 10, 100.9), read('c', 11, levelM)]).length
    expect([low(101.019), low(101.021)]).toEqual([0, 2])
    expect(followed(read('c', 11, 101.04), read('d', 12, 100.5))).toEqual(['d'])
  })

  it('stays doubted beside one that is back, runs, or is further off', () => {
    expect(followed(read('c', 11, 101.4))).toEqual(['b'])
    expect(followed(read('c', 11, 100.95, { hoursSincePumping: 'running' }))).toEqual(['b', 'c'])
    expect(followed(read('c', 11, 100.2))).toEqual(['b', 'c'])
    expect(followed(read('c', 11, 100.2), read('d', 12, 100.18))).toEqual(['b'])
  })
})
