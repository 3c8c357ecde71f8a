import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { keptForShort, openSlots, openWaterM3, tryBooking } from '../../../domain/rotation/booking.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { runs } from '../../support/runs.ts'
import { ruleWeek, WEEK_ON } from '../rule/week.ts'

const BASE = ruleWeek({ plots: { a: { needM3: 1 }, b: { needM3: 1 } }, weirs: { weir: 30, far: 30 } })
const [PUMP, FAR] = BASE.pumps.map(({ id }) => id) as [string, string]

/** Two hours of sun from 8:00, so many litres a minute; three outlets of 10 litres a minute. */
function week(litresAMinute: number, atOnce: number): WeekInputs {
  const flow = Array.from({ length: 24 }, (_, hour) => (hour === 8 || hour === 9 ? (litresAMinute * 60) / 1000 : 0))
  return {
    ...BASE,
    pumps: BASE.pumps.map((pump) => ({ ...pump, outletsAtOnce: atOnce, flowM3PerHByDay: { [WEEK_ON]: flow } })),
    outlets: ['x', 'y', 'z'].map((id, number) => ({ ...BASE.outlets[0]!, id, number, flowM3PerH: 0.6 })),
  }
}

function turn(plotId: string, outletId: string, startMinute: number, minutes: number, more: Partial<PlannedTurn> = {}) {
  const place = {
    id: `${plotId} ${outletId} ${startMinute}`,
    claimId: plotId,
    plotId,
    outletId,
    pumpId: PUMP,
    on: WEEK_ON,
    order: 1,
  }
  const stretch = { startMinute, endMinute: startMinute + minutes, hours: minutes / 60, volumeM3: minutes / 100 }
  return { ...place, ...stretch, burdens: [], ...more } satisfies PlannedTurn
}

function resultsOf(entitledM3: number, receivedM3: number, drinkingM3: number) {
  const share = { plotId: 'a', entitledM3, receivedM3 } as never
  return { drinking: [{ weirId: 'weir', allocatedM3: drinkingM3 } as never], shares: [share] }
}

const start = fc.constantFrom(480, 490, 500, 515, 540)
const others = fc.array(
  fc.record({ outlet: fc.constantFrom('x', 'y', 'z'), at: start, minutes: fc.constantFrom(10, 15, 30) }),
  { maxLength: 3 },
)

describe('free hours', () => {
  it('are the minutes of sun that no turn and no walk fills, minute by minute', () => {
    fc.assert(
      fc.property(others, fc.integer({ min: 1, max: 2 }), (drawn, atOnce) => {
        const turns = drawn.map(({ outlet, at, minutes }) => turn('b', outlet, at, minutes))
        const taken = new Map<number, number>()
        for (const { startMinute, endMinute } of turns)
          for (let minute = startMinute - 5; minute < endMinute + 5; minute++)
            taken.set(minute, (taken.get(minute) ?? 0) + 1)
        const free = Array.from({ length: 120 }, (_, at) => 480 + at).filter(
          (minute) => (taken.get(minute) ?? 0) < atOnce,
        )
        const slots = openSlots({ inputs: week(10, atOnce), turns, on: WEEK_ON }).filter(
          ({ pumpId }) => pumpId === PUMP,
        )
        const told = slots.flatMap(({ startMinute, endMinute }) =>
          Array.from({ length: endMinute - startMinute }, (_, at) => startMinute + at),
        )
        // A stretch shorter than the shortest turn is told to nobody.
        const long = free.filter((minute) => stretchAround(free, minute) >= 10)
        expect(told).toEqual(long)
      }),
      runs(100),
    )
  })

  it('are none where the pump is closed, and all at the other pump', () => {
    const inputs = { ...week(10, 1), closures: [{ on: WEEK_ON, pumpId: PUMP, words: 'rest' }] }
    const whole = { on: WEEK_ON, startMinute: 480, endMinute: 600 }
    expect(openSlots({ inputs, turns: [], on: WEEK_ON })).toEqual([{ ...whole, pumpId: FAR }])
    const until = {
      ...week(10, 1),
      pumps: week(10, 1).pumps.map((pump) => ({ ...pump, flowM3PerHByDay: { [WEEK_ON]: Array(24).fill(1) } })),
    }
    expect(openSlots({ inputs: until, turns: [], on: WEEK_ON })[0]).toMatchObject({ startMinute: 0, endMinute: 1440 })
  })
})

function stretchAround(free: number[], minute: number): number {
  const has = new Set(free)
  let length = 1
  for (let before = minute - 1; has.has(before); before--) length++
  for (let after = minute + 1; has.has(after); after++) length++
  return length
}

describe('a booking that is refused with what is left', () => {
  it('goes through with that, and not with a litre more', () => {
    const wish = fc.record({ at: start, litres: fc.integer({ min: 1, max: 1300 }) })
    const amounts = fc.record({
      entitled: fc.constantFrom(0.3, 2),
      received: fc.constantFrom(0, 0.1),
      drinking: fc.constantFrom(0, 29.2),
    })
    const short = fc.constantFrom(0, 0.25)
    fc.assert(
      fc.property(wish, others, amounts, short, fc.constantFrom(5, 10, 20), (wished, drawn, amount, kept, litres) => {
        const inputs = week(litres, 1)
        const turns = drawn.map(({ outlet, at, minutes }) => turn('b', outlet, at, minutes))
        const shares = [
          ...resultsOf(amount.entitled, amount.received, 0).shares,
          { plotId: 'b', entitledM3: 9, receivedM3: 0 } as never,
        ]
        const { drinking } = resultsOf(0, 0, amount.drinking)
        const shortfalls = kept > 0 ? [{ plotId: 'b', weirId: 'weir', shortM3: kept, bookedSinceM3: 0 }] : []
        const standing = { inputs, results: { drinking, shares }, turns, shortfalls }
        const asked = (volumeM3: number) =>
          tryBooking(standing, { plotId: 'a', outletId: 'x', on: WEEK_ON, startMinute: wished.at, volumeM3 })
        const answer = asked(wished.litres / 1000)
        if ('turn' in answer) {
          expect(answer.turn).toMatchObject({ startMinute: wished.at, volumeM3: wished.litres / 1000, plotId: 'a' })
          for (const one of turns)
            expect(answer.turn.startMinute >= one.endMinute + 5 || answer.turn.endMinute <= one.startMinute - 5).toBe(
              true,
            )
          return
        }
        if (!('leftM3' in answer)) return
        expect(answer.leftM3).toBeLessThan(wished.litres / 1000)
        expect('turn' in asked(answer.leftM3 + 0.001)).toBe(false)
        const less = asked(answer.leftM3)
        // What one limit leaves may still be more than another carries, which then says so itself.
        if (answer.leftM3 > 0 && !('turn' in less)) expect(less.refusal).not.toBe(answer.refusal)
      }),
      runs(150),
    )
  })

  const asked = (more: Partial<Parameters<typeof tryBooking>[0]>, volumeM3 = 0.1, outletId = 'x') =>
    tryBooking(
      { inputs: week(10, 1), results: resultsOf(5, 1, 0), turns: [], ...more },
      { plotId: 'a', outletId, on: WEEK_ON, startMinute: 480, volumeM3 },
    )

  it('has the entitlement less what was received and stands, to the litre', () => {
    const results = resultsOf(0.5, 0.2, 0)
    expect(asked({ results }, 0.3)).toHaveProperty('turn')
    expect(asked({ results }, 0.301)).toEqual({ refusal: 'beyond-entitlement', leftM3: 0.3 })
    const turns = [turn('a', 'y', 560, 10)]
    expect(asked({ results, turns }, 0.2)).toHaveProperty('turn')
    expect(asked({ results, turns }, 0.201)).toEqual({ refusal: 'beyond-entitlement', leftM3: 0.2 })
    expect(asked({ results: resultsOf(1, 2, 0) })).toEqual({ refusal: 'beyond-entitlement', leftM3: 0 })
  })

  it('has the weir’s water less the people’s and what stands at its own pumps', () => {
    const results = resultsOf(5, 0, 29.7)
    expect(asked({ results }, 0.3)).toHaveProperty('turn')
    expect(asked({ results }, 0.301)).toEqual({ refusal: 'no-water', leftM3: 0.3 })
    const turns = [turn('b', 'y', 560, 10), turn('b', 'far', 560, 20, { pumpId: FAR })]
    expect(openWaterM3({ inputs: week(10, 1), results, turns }, 'weir')).toBe(0.2)
    expect(openWaterM3({ inputs: week(10, 1), results, turns }, 'far')).toBe(29.8)
    expect(openWaterM3({ inputs: week(10, 1), results: resultsOf(5, 0, 40), turns }, 'weir')).toBe(0)
    expect(openWaterM3({ inputs: week(10, 1), results, turns }, 'unknown')).toBe(0)
  })

  it('has the turn of the same plot and outlet on another day only', () => {
    const own = turn('a', 'x', 560, 10)
    expect(asked({ turns: [own] })).toEqual({ refusal: 'turn-there-already' })
    expect(asked({ turns: [{ ...own, on: '2026-06-09' }] })).toHaveProperty('turn')
    expect(asked({ turns: [{ ...own, outletId: 'y' }] })).toHaveProperty('turn')
    expect(asked({ turns: [{ ...own, plotId: 'b' }] })).toHaveProperty('turn')
  })

  it('has no closed outlet, and the open one beside it', () => {
    const inputs = { ...week(10, 1), closures: [{ on: WEEK_ON, pumpId: PUMP, outletId: 'x', words: '' }] }
    expect(asked({ inputs })).toEqual({ refusal: 'closed' })
    expect(asked({ inputs }, 0.1, 'y')).toHaveProperty('turn')
  })
})

describe('what is kept for a plot that went short', () => {
  it('is of its own weir, less what it booked, no more than its part', () => {
    const kept = (entitledM3: number, shortfalls: { weirId: string; shortM3: number; bookedSinceM3: number }[]) =>
      keptForShort(
        {
          inputs: week(10, 1),
          results: resultsOf(entitledM3, 0, 0),
          turns: [],
          shortfalls: shortfalls.map((one) => ({ plotId: 'a', ...one })),
        },
        'weir',
      )
    const short = { weirId: 'weir', shortM3: 3, bookedSinceM3: 1 }
    expect(kept(9, [short])).toEqual([{ plotId: 'a', volumeM3: 2 }])
    expect(kept(1.5, [short])).toEqual([{ plotId: 'a', volumeM3: 1.5 }])
    expect(kept(9, [{ ...short, weirId: 'far' }])).toEqual([])
    expect(kept(9, [{ ...short, bookedSinceM3: 3 }])).toEqual([])
    expect(kept(9, [{ ...short, bookedSinceM3: 4 }])).toEqual([])
  })
})
