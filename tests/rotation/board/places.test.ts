import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { lanesOf, placesDown } from '../../../server/rotation/board/places.ts'

/** From 06:00 to 18:00 on 144 mm: an hour is 12 mm high. */
const DAY = { from: 360, to: 1080, heightMm: 144 }
const turn = (startMinute: number, endMinute: number) => ({ startMinute, endMinute })

describe('turns on the board', () => {
  it.each<[what: string, turns: ReturnType<typeof turn>[], places: [y: number, height: number][]]>([
    ['alone, at its hour and as high as it is long, less the gap', [turn(480, 600)], [[24, 23.2]]],
    [
      'from the first minute of the board to its last',
      [turn(360, 720), turn(720, 1080)],
      [
        [0, 71.2],
        [72, 71.2],
      ],
    ],
    [
      'of half an hour, as high as its words need, so that the next moves down and the one after it does not',
      [turn(480, 510), turn(510, 630), turn(720, 840)],
      [
        [24, 16.8],
        [41.6, 23.2],
        [72, 23.2],
      ],
    ],
    [
      'of half an hour at the end of the day, moved up so that it ends with the board',
      [turn(1050, 1080)],
      [[127.2, 16.8]],
    ],
    [
      'twelve of an hour each, all alike though less high than their words need',
      Array.from({ length: 12 }, (_, at) => turn(360 + at * 60, 420 + at * 60)),
      [0, 12, 24, 36, 48, 60, 72, 84, 96, 108, 120, 132].map((y) => [y, 11.2]),
    ],
  ])('stand %s', (_, turns, places) => {
    expect(placesDown(turns, DAY).map(({ y, height }) => [y, height])).toEqual(places)
  })

  const days = fc
    .array(fc.tuple(fc.integer({ min: 360, max: 1065 }), fc.integer({ min: 15, max: 300 })), { maxLength: 12 })
    .map((starts) => starts.map(([start, long]) => turn(start, Math.min(1080, start + long))))
  /** One after the other, as many as the day has room for. */
  const full = fc.array(fc.integer({ min: 15, max: 90 }), { minLength: 8, maxLength: 20 }).map((longs) => {
    let end = DAY.from
    const turns = longs.map((long) => {
      end += long
      return turn(end - long, end)
    })
    return turns.filter(({ endMinute }) => endMinute <= DAY.to)
  })

  it('neither meet nor change their order nor leave the board, however full the day', () => {
    fc.assert(
      fc.property(fc.oneof(days, full), (turns) => {
        for (const lane of lanesOf(turns)) {
          const places = placesDown(lane, DAY)
          for (const [at, { y, height }] of places.entries()) {
            expect(height).toBeGreaterThan(0)
            expect(y).toBeGreaterThanOrEqual(0)
            // Printed in tenths.
            expect(y + height).toBeLessThanOrEqual((places[at + 1]?.y ?? DAY.heightMm) + 0.16)
          }
        }
      }),
    )
  })
})
