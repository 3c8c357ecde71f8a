import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { inOrder, layTurn } from '../../../domain/rotation/manual-change/lay-turn.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { runs } from '../../support/runs.ts'
import { ruleWeek, WEEK_ON } from '../rule/week.ts'

const TUESDAY = '2026-06-09'
const base = ruleWeek({ plots: { a: { needM3: 1 } } })

/** Flows in whole litres a minute, by clock hour from 8:00; what is not named gives nothing. */
function week(hours: number[], outletLitres: number[]): WeekInputs {
  const flow = Array.from({ length: 24 }, (_, hour) => ((hours[hour - 8] ?? 0) * 60) / 1000)
  return {
    ...base,
    pumps: base.pumps.map((pump) => ({ ...pump, flowM3PerHByDay: { [WEEK_ON]: flow } })),
    outlets: outletLitres.map((litres, at) => {
      return { ...base.outlets[0]!, id: `o${at}`, number: at, flowM3PerH: (litres * 60) / 1000 }
    }),
  }
}

function turn(outletId: string, startMinute: number, minutes: number, more: Partial<PlannedTurn> = {}): PlannedTurn {
  const id = `${outletId} ${startMinute}`
  const place = { id, claimId: id, plotId: id, outletId, pumpId: base.pumps[0]!.id, on: WEEK_ON, order: 1 }
  const stretch = { startMinute, endMinute: startMinute + minutes, hours: minutes / 60 }
  return { ...place, ...stretch, volumeM3: 0.001, burdens: [], ...more }
}

/** A second reckoning in whole litres: every minute of the two hours of sun is served by itself, the earliest start first. */
function byMinutes(
  hours: number[],
  outletLitres: number[],
  others: readonly { outlet: number; start: number; minutes: number; litres: number }[],
  wish: { outlet: number; start: number; litres: number },
): number | null {
  const pumped = (minute: number) => hours[Math.floor(minute / 60) - 8] ?? 0
  const served = (end: number) => {
    const all = [...others.map((one) => ({ ...one, end: one.start + one.minutes })), { ...wish, end, minutes: 0 }]
    // Of two that start together the one that stands on the list already comes first.
    const queue = all.toSorted((a, b) => a.start - b.start)
    const got = new Map(all.map((one) => [one, 0]))
    for (let minute = 480; minute < 600; minute++) {
      let left = pumped(minute)
      for (const one of queue.filter(({ start, end: until }) => start <= minute && minute < until)) {
        const litres = Math.min(left, outletLitres[one.outlet]!)
        got.set(one, got.get(one)! + litres)
        left -= litres
      }
    }
    return {
      own: got.get(all.at(-1)!)!,
      isNobodyShort: others.every((one, at) => one.start <= wish.start || got.get(all[at]!)! >= one.litres),
    }
  }
  for (let end = wish.start + 1; end <= 601; end++) {
    if (served(end).own === served(end - 1).own) return null // a minute without water: the turn is broken off
    if (end - wish.start >= 10 && served(end).own >= wish.litres) return served(end).isNobodyShort ? end : null
  }
  return null
}

describe('one more turn beside the others', () => {
  it('ends in the minute in which its last litre comes, as a reckoning of whole litres has it', () => {
    const start = fc.constantFrom(480, 490, 495, 510)
    const other = fc.record({ outlet: fc.nat(1), start, minutes: fc.constantFrom(10, 20, 45), litres: fc.nat(60) })
    const wish = fc.record({ outlet: fc.nat(1), start, litres: fc.oneof(fc.nat(20), fc.nat(300)) })
    const flows = fc.array(fc.constantFrom(0, 1, 2, 3, 5), { minLength: 2, maxLength: 2 })
    const outlets = fc.array(fc.integer({ min: 1, max: 3 }), { minLength: 2, maxLength: 2 })
    fc.assert(
      fc.property(flows, outlets, fc.array(other, { maxLength: 2 }), wish, (hours, outletLitres, others, wished) => {
        const laid = layTurn(
          week(hours, outletLitres),
          others.map(({ outlet, start: from, minutes, litres }, at) =>
            turn(`o${outlet}`, from, minutes, { id: `${at}`, order: at + 1, volumeM3: litres / 1000 }),
          ),
          {
            plotId: 'a',
            outletId: `o${wished.outlet}`,
            on: WEEK_ON,
            startMinute: wished.start,
            volumeM3: wished.litres / 1000,
          },
        )
        expect(laid?.endMinute ?? null).toBe(byMinutes(hours, outletLitres, others, wished))
        if (laid) expect(laid).toMatchObject({ startMinute: wished.start, hours: (laid.endMinute - wished.start) / 60 })
      }),
      runs(120),
    )
  })

  const wish = (litres: number, more: { startMinute?: number; others?: PlannedTurn[] } = {}) => {
    const { startMinute = 480, others = [] } = more
    // 10 litres a minute from 8:00 to 10:00, through outlets of 10.
    const asked = { plotId: 'a', outletId: 'o0', on: WEEK_ON, startMinute, volumeM3: litres / 1000 }
    return layTurn(week([10, 10], [10, 10]), others, asked)?.endMinute ?? null
  }

  it('takes at least the shortest turn, and all the sun there is but no more', () => {
    expect([1, 100, 101, 1200].map((litres) => wish(litres))).toEqual([490, 490, 491, 600])
    expect(wish(1201)).toBeNull()
    expect(wish(100, { startMinute: 590 })).toBe(600)
    expect(wish(90, { startMinute: 591 })).toBeNull()
    expect(wish(10, { startMinute: 479 })).toBeNull()
  })

  it('minds no turn of another day, another pump, or by gravity', () => {
    const at = (more: Partial<PlannedTurn>) => [turn('o1', 480, 60, { volumeM3: 0.6, ...more })]
    expect(wish(100, { others: at({}) })).toBeNull()
    expect(wish(100, { others: at({ on: TUESDAY }) })).toBe(490)
    expect(wish(100, { others: at({ pumpId: 'other' }) })).toBe(490)
    const fed = week([10, 10], [10, 10])
    const outlets = fed.outlets.map((outlet) => (outlet.id === 'o1' ? { ...outlet, tankId: 'tank' } : outlet))
    const asked = { plotId: 'a', outletId: 'o0', on: WEEK_ON, startMinute: 480, volumeM3: 0.1 }
    expect(layTurn({ ...fed, outlets }, at({}), asked)?.endMinute).toBe(490)
  })

  it('leaves a later turn its own to the litre', () => {
    const later = (litres: number) => [turn('o1', 485, 15, { volumeM3: litres / 1000 })]
    // From 8:05 to 8:10 the new turn draws all, from 8:10 to 8:20 the later one has 100 litres.
    expect(wish(100, { others: later(100) })).toBe(490)
    expect(wish(100, { others: later(101) })).toBeNull()
  })

  it('keeps to whole litres, and names its plot, outlet and pump', () => {
    const asked = { plotId: 'a', outletId: 'o0', on: WEEK_ON, startMinute: 480, volumeM3: 0.1 + 0.2 }
    expect(layTurn(week([10], [10]), [], asked)).toMatchObject({
      ...{ plotId: 'a', claimId: 'a', outletId: 'o0', pumpId: base.pumps[0]!.id, volumeM3: 0.3, hours: 0.5 },
    })
  })
})

describe('one more turn by gravity', () => {
  const fed = week([10, 10], [10])
  const { id: pumpId } = base.pumps[0]!
  /** A full tank of 5 m3; its outlet gives 10 litres a minute outside the pump's hours of 8:00 to 10:00. */
  const tank = {
    id: 'tank',
    number: 1,
    name: 'Hill',
    pumpId,
    areaM2: 2,
    capacityM3: 5,
    floorM3: 0,
    servesStand: false,
    startM3: 5,
    reading: null,
    gravityHours: null,
  }
  const inputs = {
    ...fed,
    days: [WEEK_ON],
    outlets: fed.outlets.map((outlet) => ({ ...outlet, tankId: 'tank' })),
    tanks: [tank],
  }
  const end = (startMinute: number, litres: number, more: object = {}) =>
    layTurn({ ...inputs, ...more }, [], {
      plotId: 'a',
      outletId: 'o0',
      on: WEEK_ON,
      startMinute,
      volumeM3: litres / 1000,
    })?.endMinute ?? null

  it('runs at its outlet’s flow outside the pump’s hours and the walk, to midnight', () => {
    expect([end(605, 100), end(605, 101), end(605, 10), end(1430, 100)]).toEqual([615, 616, 615, 1440])
    expect([end(604, 100), end(500, 100), end(470, 100), end(1431, 100)]).toEqual([null, null, null, null])
    expect(end(465, 100)).toBe(475)
  })

  it('draws no more than stands in the tank, through no outlet that gives nothing', () => {
    expect([end(605, 5000), end(605, 5001)]).toEqual([1105, null])
    expect(end(605, 100, { outlets: inputs.outlets.map((outlet) => ({ ...outlet, flowM3PerH: 0 })) })).toBeNull()
  })
})

describe('turns in their order', () => {
  const ordered = (turns: PlannedTurn[]) => inOrder(turns).map(({ id, order, burdens }) => [id, order, burdens.join()])

  it('stand by day, clock, list and name, each pump and day with a list of its own', () => {
    const turns = [
      turn('d', 600, 20, { id: 'tuesday', on: TUESDAY }),
      turn('c', 700, 20, { id: 'late' }),
      turn('b', 600, 20, { id: 'second', order: 2 }),
      turn('a', 600, 20, { id: 'first', order: 1 }),
      turn('e', 650, 20, { id: 'other pump', pumpId: 'z' }),
      turn('f', 600, 20, { id: 'by name', order: 2 }),
    ]
    const expected = [
      ['first', 1, ''],
      ['by name', 2, ''],
      ['second', 3, ''],
      ['other pump', 1, ''],
      ['late', 4, 'last'],
      ['tuesday', 1, ''],
    ]
    for (const list of [turns, turns.toReversed()]) expect(ordered(list)).toEqual(expected)
  })

  it('bear Sunday as a burden, and no other day', () => {
    expect(ordered([turn('a', 600, 20, { on: '2026-06-14' })])).toEqual([['a 600', 1, 'rest-weekday']])
    expect(ordered([turn('a', 600, 20, { on: '2026-06-13' })])).toEqual([['a 600', 1, '']])
  })
})
