import fc from 'fast-check'
import { expect, it } from 'vitest'
import { isFree } from '../../../domain/rotation/swap.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'

const turn = fc.record({
  pumpId: fc.constantFrom('p', 'q'),
  on: fc.constantFrom('2026-06-08', '2026-06-09'),
  outletId: fc.constantFrom('a', 'b', 'c'),
  startMinute: fc.integer({ min: 0, max: 6 }),
  minutes: fc.integer({ min: 1, max: 4 }),
})
type Drawn = typeof turn extends fc.Arbitrary<infer T> ? T : never

const planned = ({ minutes, ...one }: Drawn) => ({ ...one, endMinute: one.startMinute + minutes }) as PlannedTurn
/** The minutes of a turn, one by one. */
const minutesOf = ({ startMinute, minutes }: Drawn) => Array.from({ length: minutes }, (_, at) => startMinute + at)

it('a place is free where in none of its minutes its outlet or too many others are open; turns may touch', () => {
  const fully = fc.record({
    laid: turn,
    others: fc.array(turn, { maxLength: 4 }),
    atOnce: fc.integer({ min: 1, max: 3 }),
  })
  fc.assert(
    fc.property(fully, ({ laid, others, atOnce }) => {
      const pumps = ['q', 'p'].map((id) => ({ id, outletsAtOnce: id === laid.pumpId ? atOnce : 9 }))
      const beside = others.filter(({ pumpId, on }) => pumpId === laid.pumpId && on === laid.on)
      const wanted = minutesOf(laid).every((minute) => {
        const open = beside.filter((one) => minutesOf(one).includes(minute)).map(({ outletId }) => outletId)
        return open.length < atOnce && !open.includes(laid.outletId)
      })
      expect(isFree({ pumps } as unknown as WeekInputs, others.map(planned), planned(laid))).toBe(wanted)
    }),
    { numRuns: 400 },
  )
})
