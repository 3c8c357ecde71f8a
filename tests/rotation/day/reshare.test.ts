import { describe, expect, it } from 'vitest'
import { checkReshare } from '../../../domain/rotation/day/check-reshare.ts'
import { expectedSoFarM3 } from '../../../domain/rotation/day/given.ts'
import { reshareDay } from '../../../domain/rotation/day/reshare.ts'
import type { ReshareInput } from '../../../domain/rotation/day/reshare-input.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { TurnFacts } from '../../../domain/rotation/week/turn-facts.ts'
import { ruleWeek, WEEK_ON } from '../rule/week.ts'

// All numbers worked by hand: a pump of 10 m3 an hour from 07:00 to 17:00, outlets that carry 10 m3 an hour.

function turn(plotId: string, start: string, end: string, volumeM3: number, outletId = OUTLET): PlannedTurn {
  const [startMinute, endMinute] = [minuteOf(start), minuteOf(end)]
  const id = `${plotId}/${outletId}/${WEEK_ON}`
  const place = { id, claimId: plotId, plotId, outletId, pumpId: PUMP, on: WEEK_ON }
  return { ...place, order: 0, startMinute, endMinute, volumeM3, hours: (endMinute - startMinute) / 60, burdens: [] }
}

function minuteOf(clock: string): number {
  const [hours, minutes] = clock.split(':').map(Number)
  return hours! * 60 + minutes!
}

const ONE = ruleWeek({ plots: { a: { needM3: 30 }, b: { needM3: 30 }, c: { needM3: 30 } }, weirs: { weir: 200 } })
const OTHER = 'outlet-other'
const BASE = { ...ONE, outlets: [...ONE.outlets, { ...ONE.outlets[0]!, id: OTHER, number: 2, name: 'other' }] }
const PUMP = BASE.pumps[0]!.id
const OUTLET = BASE.outlets[0]!.id

function day(
  turns: PlannedTurn[],
  more: { from: string; m3PerH: number; atOnce?: number; downUntil?: string; received?: Record<string, number> },
): ReshareInput {
  const claims = ['a', 'b', 'c'].map((id) => {
    return { id, outletIds: [OUTLET], needM3: 30, entitledM3: 30, receivedM3: more.received?.[id] ?? 0, tier: 1 }
  })
  return {
    inputs: { ...BASE, pumps: BASE.pumps.map((pump) => ({ ...pump, outletsAtOnce: more.atOnce ?? 1 })) },
    results: { allocationInput: { weirs: [], pumps: [], outlets: [], claims } },
    on: WEEK_ON,
    pumpId: PUMP,
    fromMinute: minuteOf(more.from),
    flowM3PerHByHour: Array.from({ length: 24 }, (_, hour) => (hour >= 7 && hour < 17 ? more.m3PerH : 0)),
    ...(more.downUntil === undefined ? {} : { downUntilMinute: minuteOf(more.downUntil) }),
    turns,
    openIds: new Set(turns.map((one) => one.id)),
    weekM3ByPlot: Object.fromEntries(turns.map((one) => [one.plotId, one.volumeM3])),
  }
}

type Facts = Partial<Pick<TurnFacts, 'noTurnHours' | 'notTogether' | 'fillingMinutes'>>

function withFacts(input: ReshareInput, facts: Facts): ReshareInput {
  const none: TurnFacts = {
    pumps: [],
    noTurnHours: [],
    linePositions: {},
    notTogether: [],
    fillingMinutes: {},
    burdens: {},
    officerPlotIds: [],
    changes: [],
  }
  return { ...input, inputs: { ...input.inputs, turnFacts: { ...none, ...facts } } }
}

const seen = (input: ReshareInput) =>
  reshareDay(input).turns.map(({ was, now, shortM3 }) =>
    now ? [was.plotId, now.startMinute, now.endMinute, now.volumeM3, shortM3] : [was.plotId, null, null, 0, shortM3],
  )

describe('the rest of a day shared anew', () => {
  it('goes by the list, each in full as far as the day goes, where the group chose the queue', () => {
    const turns = [turn('b', '10:05', '12:05', 20), turn('c', '12:10', '13:10', 10)]
    // 4 m3 an hour from 10:00: 20 m3 take five hours; five minutes of walk leave c 115 minutes, 7.666 m3. At 2 m3 an hour b
    // has all seven hours.
    expect(seen({ ...day(turns, { from: '10:00', m3PerH: 4 }), order: 'queue' })).toEqual([
      ['b', minuteOf('10:00'), minuteOf('15:00'), 20, 0],
      ['c', minuteOf('15:05'), minuteOf('17:00'), 7.666, 2.334],
    ])
    expect(seen({ ...day(turns, { from: '10:00', m3PerH: 2 }), order: 'queue' })).toEqual([
      ['b', minuteOf('10:00'), minuteOf('17:00'), 14, 6],
      ['c', null, null, 0, 10],
    ])
    const [b, c] = reshareDay(day(turns, { from: '10:00', m3PerH: 2 })).turns
    // By the level: equal parts, since neither has received anything; five minutes of walk are c's.
    expect(Math.abs(b!.carriedM3 - c!.carriedM3)).toBeLessThan(0.2)
  })

  it('gives a turn that was booked without a claim only what all claims leave, in whatever order they are served', () => {
    // 4 m3 an hour from 10:00 bring 28 m3: b has its 20 in five hours, and the two hours after a walk of five minutes are 7.666 m3.
    const turns = [turn('booked', '10:05', '12:05', 20), turn('b', '12:10', '14:10', 20)]
    for (const tier of [1, 2, 3]) {
      const short = day(turns, { from: '10:00', m3PerH: 4 })
      const { claims, ...others } = short.results.allocationInput
      const later = { ...others, claims: claims.map((claim) => ({ ...claim, tier })) }
      const carried = reshareDay({ ...short, results: { allocationInput: later } }).turns
      const ofPlot = (id: string) => carried.find(({ was }) => was.plotId === id)!.carriedM3
      expect(ofPlot('b'), String(tier)).toBeCloseTo(20, 2)
      expect(ofPlot('booked'), String(tier)).toBeLessThan(8)
    }
  })

  it('was to bring the flow of each hour up to the minute at which the pump is read', () => {
    // 07:00 to 10:30 at 10 m3 an hour.
    const flow = Array.from({ length: 24 }, (_, hour) => (hour >= 7 && hour < 17 ? 10 : 0))
    expect(expectedSoFarM3(flow, minuteOf('10:30'))).toBe(35)
    expect(expectedSoFarM3(flow, minuteOf('06:59'))).toBe(0)
    expect(expectedSoFarM3(flow, minuteOf('23:00'))).toBe(100)
  })

  it('lets the list run on and later where half the flow still carries everything', () => {
    const turns = [turn('b', '10:05', '12:05', 20), turn('c', '12:10', '13:10', 10)]
    // From 10:00 on 5 m3 an hour: 20 m3 take four hours, 10 m3 two; five minutes between them.
    expect(seen(day(turns, { from: '10:00', m3PerH: 5 }))).toEqual([
      ['b', minuteOf('10:05'), minuteOf('14:05'), 20, 0],
      ['c', minuteOf('14:10'), minuteOf('16:10'), 10, 0],
    ])
  })

  it('calls nobody to an hour that is already over, and the judge refuses a day that does', () => {
    const dull = day([turn('b', '12:00', '14:00', 20)], { from: '07:00', m3PerH: 2 })
    // 2 m3 an hour: 20 m3 take the ten hours from 07:00 on, so the turn is called early; at 11:22 only from 11:25 on.
    expect(seen(dull)).toEqual([['b', minuteOf('07:00'), minuteOf('17:00'), 20, 0]])
    const written = { ...dull, callableFromMinute: minuteOf('11:22') }
    expect(seen(written)).toEqual([['b', minuteOf('11:25'), minuteOf('17:00'), 11.166, 8.834]])
    expect(checkReshare({ input: written, reshared: reshareDay(written) })).toEqual([])
    const codes = checkReshare({ input: written, reshared: reshareDay(dull) }).map(({ code }) => code)
    expect(codes).toContain('called-too-late')
  })

  it('cuts equal claims alike and keeps what is short', () => {
    const turns = [turn('b', '10:00', '12:00', 20), turn('c', '12:00', '14:00', 20, OTHER)]
    // Two outlets, and the pump gives half of what one carries. Seven hours of 5 m3 are 35 m3 for 40: each gets 17.5, which
    // takes three hours and a half.
    expect(seen(day(turns, { from: '10:00', m3PerH: 5, atOnce: 2 }))).toEqual([
      ['b', minuteOf('10:00'), minuteOf('13:30'), 17.5, 2.5],
      ['c', minuteOf('13:30'), minuteOf('17:00'), 17.5, 2.5],
    ])
  })

  it('places as many litres as changing over leaves', () => {
    const turns = [turn('b', '10:00', '12:00', 20), turn('c', '12:05', '14:05', 20)]
    // On one line, 5 m3 an hour, equal claims. Turns start on full five minutes. Alike, b would end at 13:25 and c have from 13:30
    // on 3 h 25, 17.083 m3 each; one litre more and c starts at 13:35. From there to 17:00 are 3 h 25 still, so b may go on until
    // 13:30 (17.5 m3) without taking anything from c.
    expect(seen(day(turns, { from: '10:00', m3PerH: 5 }))).toEqual([
      ['b', minuteOf('10:00'), minuteOf('13:30'), 17.5, 2.5],
      ['c', minuteOf('13:35'), minuteOf('17:00'), 17.083, 2.917],
    ])
  })

  it('raises whoever is lowest first', () => {
    const turns = [turn('b', '13:00', '15:00', 20), turn('c', '15:00', '17:00', 20, OTHER)]
    // Four hours of 5 m3 are 20. Level: (10 + x) / 30 = y / 30 and x + y = 20, so x = 5 and y = 15.
    const cut = seen(day(turns, { from: '13:00', m3PerH: 5, atOnce: 2, received: { b: 10 } }))
    expect(cut.map((line) => [line[0], line[3]])).toEqual([
      ['b', 5],
      ['c', 15],
    ])
  })

  it('leaves a running turn what it has drawn when the pump stops, and the rest nothing', () => {
    const turns = [turn('b', '08:00', '12:00', 40), turn('c', '12:05', '14:05', 20)]
    expect(seen(day(turns, { from: '10:00', m3PerH: 10, downUntil: '24:00' }))).toEqual([
      ['b', minuteOf('08:00'), minuteOf('10:00'), 20, 20],
      ['c', null, null, 0, 20],
    ])
  })

  it('takes the list up again when the pump runs again', () => {
    const turns = [turn('b', '10:05', '12:05', 20), turn('c', '12:10', '14:10', 20)]
    expect(seen(day(turns, { from: '10:00', m3PerH: 10, downUntil: '12:00' }))).toEqual([
      ['b', minuteOf('12:00'), minuteOf('14:00'), 20, 0],
      ['c', minuteOf('14:05'), minuteOf('16:05'), 20, 0],
    ])
  })

  it('touches only turns that are open, and never gives more than the pump and never two lines at once', () => {
    for (const m3PerH of [1, 2.5, 4, 7, 9]) {
      const turns = [turn('a', '08:00', '10:00', 20), turn('b', '10:05', '12:05', 20), turn('c', '12:10', '15:10', 30)]
      const input = { ...day(turns, { from: '10:00', m3PerH }), openIds: new Set(turns.slice(1).map((one) => one.id)) }
      const shared = reshareDay(input)
      expect(shared.turns.map((one) => one.was.plotId)).toEqual(['b', 'c'])
      expect(shared.remainingM3).toBeCloseTo(7 * m3PerH, 6)
      const now = shared.turns.flatMap((one) => one.now ?? [])
      expect(now.reduce((sum, one) => sum + one.volumeM3, 0)).toBeLessThanOrEqual(7 * m3PerH + 1e-9)
      for (const { volumeM3, startMinute, endMinute } of now)
        expect(volumeM3).toBeLessThanOrEqual((m3PerH * (endMinute - startMinute)) / 60 + 1e-6)
      if (now.length === 2) expect(now[1]!.startMinute).toBeGreaterThanOrEqual(now[0]!.endMinute + 5)
    }
  })

  it('keeps a turn out of its holder’s own hours to its last minute, and gives what it cannot take to the others', () => {
    const turns = [turn('b', '09:00', '11:00', 20), turn('c', '11:05', '12:05', 10)]
    const noTurnHours = [{ plotId: 'b', on: WEEK_ON, fromHour: 11, toHour: 24, words: 'school' }]
    // From 09:30 on 5 m3 an hour. b drew 5 by the plan; it has until 11:00, 1 h 30, 7.5 m3. c has the whole afternoon.
    const input = withFacts(day(turns, { from: '09:30', m3PerH: 5 }), { noTurnHours })
    expect(seen(input)).toEqual([
      ['b', minuteOf('09:00'), minuteOf('11:00'), 12.5, 7.5],
      ['c', minuteOf('11:05'), minuteOf('13:05'), 10, 0],
    ])
    expect(checkReshare({ input, reshared: reshareDay(input) })).toEqual([])
  })

  it('keeps outlets apart that must not be open together, and fills the line before water comes', () => {
    const turns = [turn('b', '10:00', '11:00', 10), turn('c', '11:00', '12:00', 10, OTHER)]
    const base = day(turns, { from: '10:00', m3PerH: 5, atOnce: 2 })
    // b takes until 12:00; the other outlet must wait for that even though its line is free.
    const apart = withFacts(base, { notTogether: [[OUTLET, OTHER]] })
    expect(seen(apart).map((line) => line.slice(0, 3))).toEqual([
      ['b', minuteOf('10:00'), minuteOf('12:00')],
      ['c', minuteOf('12:00'), minuteOf('14:00')],
    ])
    const oneLine = day(turns, { from: '10:00', m3PerH: 5 })
    const filling = withFacts(oneLine, { fillingMinutes: { [OTHER]: 20 } })
    expect(seen(filling)[1]!.slice(0, 2)).toEqual(['c', minuteOf('12:25')])
    for (const input of [apart, filling]) expect(checkReshare({ input, reshared: reshareDay(input) })).toEqual([])
  })

  it('goes by the log where a running turn was written down, and lets only the rest come', () => {
    const turns = [turn('b', '08:00', '12:00', 40), turn('c', '12:05', '14:05', 20)]
    // The plan says 20 m3 by ten; the meter says 12. Both get the rest: 28 m3 at 10 an hour take 2 h 48.
    const input = { ...day(turns, { from: '10:00', m3PerH: 10 }), loggedM3: { [turns[0]!.id]: 12 } }
    const { turns: shared } = reshareDay(input)
    expect(shared[0]).toMatchObject({ drawnM3: 12, drawnBy: 'log', carriedM3: 28, shortM3: 0 })
    expect(shared[0]!.now).toMatchObject({ startMinute: 600, endMinute: 768, volumeM3: 28 })
    expect(shared[1]).toMatchObject({ drawnM3: 0, drawnBy: null, carriedM3: 20 })
    expect(shared[1]!.now!.startMinute).toBe(minuteOf('12:55'))
    expect(checkReshare({ input, reshared: reshareDay(input) })).toEqual([])
  })
})
