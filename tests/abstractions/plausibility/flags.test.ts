import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { plausibility } from '../../../domain/abstractions/plausibility/flags.ts'
import type { PlausibilityInput } from '../../../domain/abstractions/plausibility/logged-turn.ts'

const HONEST: PlausibilityInput = {
  turn: {
    outletId: '6',
    pumpId: 'upper',
    meterId: 'm1',
    startAt: '2031-07-03T08:00:00Z',
    stopAt: '2031-07-03T10:00:00Z',
    openingM3: 4520,
    closingM3: 4529,
    meterDigits: 5,
  },
  writtenAt: '2031-07-03T18:00:00Z',
  previousWrittenAt: '2031-07-03T17:00:00Z',
  pumpMaxM3PerH: 6,
  outletMaxM3PerH: 5,
  outletPumpIds: ['upper'],
  pumpOutletIds: ['6', '7', '12'],
  plan: { startAt: '2031-07-03T08:00:00Z', stopAt: '2031-07-03T10:00:00Z', volumeM3: 10 },
  previousClosingM3: 4520,
  nextOpeningM3: 4529,
  others: [],
}

const withTurn = (turn: Partial<PlausibilityInput['turn']>, rest: Partial<PlausibilityInput> = {}) =>
  plausibility({ ...HONEST, ...rest, turn: { ...HONEST.turn, ...turn } })

const found = (flags: ReturnType<typeof plausibility>) => flags.map(({ code, likelyCause }) => [code, likelyCause])

describe('a logged turn', () => {
  it('that is in order raises no flag', () => {
    expect(plausibility(HONEST)).toEqual([])
  })

  it('with nothing but a place raises no flag either: what is not known is not judged', () => {
    expect(plausibility({ turn: { outletId: '6', pumpId: 'upper' } })).toEqual([])
  })

  it('with two digits swapped is given the reading that makes sense', () => {
    const flags = withTurn({ closingM3: 4259 }, { nextOpeningM3: undefined })
    expect(flags).toEqual([
      {
        code: 'closing-below-opening',
        values: { openingM3: 4520, closingM3: 4259, suggestedClosingM3: 4529, suggestedVolumeM3: 9 },
        likelyCause: 'digits-swapped',
      },
    ])
  })

  it('is not told to change a reading that the turn before or after shows too', () => {
    // 5420 may be 4520, and 4529 may be 5429.
    const suggested = (rest: Partial<PlausibilityInput>) =>
      withTurn(
        { openingM3: 5420, closingM3: 4529 },
        { previousClosingM3: undefined, nextOpeningM3: undefined, ...rest },
      )
    const [before] = suggested({ previousClosingM3: 5420 })
    expect(before!.values).toMatchObject({ suggestedClosingM3: 5429, suggestedVolumeM3: 9 })
    const [after] = suggested({ nextOpeningM3: 4529 })
    expect(after!.values).toMatchObject({ suggestedOpeningM3: 4520, suggestedVolumeM3: 9 })
    const both = suggested({ previousClosingM3: 5420, nextOpeningM3: 4529 })
    expect(found(both)).toEqual([['closing-below-opening', 'cannot-tell']])
  })

  it('over the last digit of the counter is explained by it', () => {
    const flags = withTurn({ openingM3: 99_995, closingM3: 3 }, { previousClosingM3: 99_995, nextOpeningM3: 3 })
    expect(found(flags)).toEqual([['closing-below-opening', 'meter-rolled-over']])
  })

  it('with opening and closing exchanged says so', () => {
    const flags = withTurn(
      { openingM3: 4529, closingM3: 4520 },
      { previousClosingM3: undefined, nextOpeningM3: undefined },
    )
    expect(found(flags)).toEqual([['closing-below-opening', 'readings-exchanged']])
  })

  it('that ran back with nothing else known is left to people', () => {
    const turn = { outletId: '6', pumpId: 'upper', openingM3: 4520, closingM3: 4253, meterDigits: 5 }
    expect(found(plausibility({ turn }))).toEqual([['closing-below-opening', 'cannot-tell']])
  })

  it('faster than pump and outlet is flagged for both, and a swap is offered', () => {
    const flags = withTurn({ closingM3: 4592 }, { nextOpeningM3: undefined, plan: undefined })
    expect(found(flags)).toEqual([
      ['faster-than-pump', 'digits-swapped'],
      ['faster-than-outlet', 'digits-swapped'],
    ])
    expect(flags[0]!.values).toMatchObject({ suggestedClosingM3: 4529, flowM3PerH: 36 })
  })

  it('faster than the outlet though not the pump points to a second outlet', () => {
    const flags = withTurn({ closingM3: undefined, openingM3: undefined, volumeM3: 11.5 }, { plan: undefined })
    expect(found(flags)).toEqual([['faster-than-outlet', 'two-outlets-open']])
  })

  it('faster than outlet and pump, by less than litres would make it, is no second outlet', () => {
    // 6 m3 an hour for two hours are 12 m3.
    const flags = withTurn({ closingM3: undefined, openingM3: undefined, volumeM3: 40 }, { plan: undefined })
    expect(found(flags)).toEqual([
      ['faster-than-pump', 'date-or-clock-wrong'],
      ['faster-than-outlet', 'flow-test-out-of-date'],
    ])
  })

  it('with litres read as cubic metres says so', () => {
    const flags = withTurn({ closingM3: undefined, openingM3: undefined, volumeM3: 9000 }, { plan: undefined })
    expect(flags.every((flag) => flag.likelyCause === 'litres-read-as-m3')).toBe(true)
    expect(flags).toHaveLength(2)
  })

  it('whose opening is above the last closing points to a taker who was not recorded', () => {
    const flags = withTurn({}, { previousClosingM3: 4513 })
    expect(flags).toEqual([
      {
        code: 'gap-to-last-reading',
        values: { earlierM3: 4513, laterM3: 4520, gapM3: 7 },
        likelyCause: 'unrecorded-taker',
      },
    ])
  })

  it('that joins the last closing but for the last digit of the tool is no matter', () => {
    const gap = (earlierM3: number, laterM3: number) =>
      withTurn(
        { openingM3: laterM3, closingM3: laterM3 + 8 },
        { previousClosingM3: earlierM3, nextOpeningM3: undefined },
      )
    for (const [earlier, later] of [
      [4519.96, 4520],
      [4520, 4519.96],
      [4520.1, 4520],
      [4520.004, 4520.003],
    ])
      expect(gap(earlier!, later!)).toEqual([])
    for (const [earlier, later] of [
      [4519.8, 4520],
      [4519.99, 4520.13],
    ])
      expect(gap(earlier!, later!)).toHaveLength(1)
  })

  it('that begins where the last meter can never have come is told of another meter, not of a taker', () => {
    const [back] = withTurn({ openingM3: 3, closingM3: 11 }, { previousClosingM3: 4513, nextOpeningM3: undefined })
    expect(back).toMatchObject({ code: 'gap-to-last-reading', likelyCause: 'meter-replaced' })
    const [ahead] = withTurn(
      { openingM3: 24520, closingM3: 24528 },
      { previousClosingM3: 4513, nextOpeningM3: undefined },
    )
    expect(ahead).toMatchObject({ code: 'gap-to-last-reading', likelyCause: 'meter-replaced' })
  })

  it('whose opening is the last closing with two digits swapped is told which', () => {
    const [flag] = withTurn({ openingM3: 4502, closingM3: 4511 }, { nextOpeningM3: undefined })
    expect(flag).toMatchObject({ code: 'gap-to-last-reading', likelyCause: 'digits-swapped' })
    expect(flag!.values).toMatchObject({ gapM3: -18, suggestedM3: 4520 })
  })

  it('written for the morning instead of the afternoon lies in the future or outside the plan by twelve hours', () => {
    const early = withTurn({ startAt: '2031-07-02T20:00:00Z', stopAt: '2031-07-02T22:00:00Z' })
    expect(found(early)).toEqual([['outside-the-plan', 'morning-for-afternoon']])
    const late = withTurn({ startAt: '2031-07-03T20:00:00Z', stopAt: '2031-07-03T22:00:00Z' })
    expect(found(late)).toEqual([
      ['hour-in-the-future', 'morning-for-afternoon'],
      ['outside-the-plan', 'morning-for-afternoon'],
    ])
  })

  it('ten minutes late is within the plan, an hour late is not', () => {
    const shifted = (minutes: string) =>
      withTurn(
        { startAt: `2031-07-03T${minutes}:00Z`, stopAt: '2031-07-03T10:00:00Z' },
        { outletMaxM3PerH: 20, pumpMaxM3PerH: 20 },
      )
    expect(shifted('08:10')).toEqual([])
    expect(found(shifted('07:00'))).toEqual([['outside-the-plan', 'turn-moved']])
  })

  it('at the same time as another on the same meter is shown beside it', () => {
    const other = { outletId: '7', startAt: '2031-07-03T09:30:00Z', stopAt: '2031-07-03T11:00:00Z' }
    const flags = withTurn(
      {},
      {
        others: [
          { id: 'a', meterId: 'm1', ...other },
          { id: 'b', meterId: 'm2', ...other },
        ],
      },
    )
    expect(flags).toEqual([
      { code: 'overlaps-another-turn', values: { otherId: 'a', minutes: 30 }, likelyCause: 'two-outlets-open' },
    ])
  })

  it('that begins when the one before ends does not overlap it', () => {
    const others = [{ id: 'a', outletId: '6', startAt: '2031-07-03T07:00:00Z', stopAt: '2031-07-03T08:00:00Z' }]
    expect(withTurn({}, { others })).toEqual([])
  })

  it('on an outlet that the pump does not reach is asked whether 9 was a 6', () => {
    const [flag] = withTurn({ outletId: '9' }, { outletPumpIds: ['lower'] })
    expect(flag).toEqual({
      code: 'outlet-on-another-pump',
      values: { outletId: '9', pumpId: 'upper', suggestedOutletId: '6' },
      likelyCause: 'outlet-number-misread',
    })
  })

  it('stopped before it started, or written by a clock that jumped back, is flagged', () => {
    expect(found(withTurn({ stopAt: '2031-07-03T07:00:00Z' }, { plan: undefined }))).toEqual([
      ['stop-before-start', 'morning-for-afternoon'],
    ])
    const jumped = withTurn({}, { writtenAt: '2000-01-01T00:00:00Z' })
    expect(found(jumped)).toEqual([
      ['clock-jumped-back', 'date-or-clock-wrong'],
      ['hour-in-the-future', 'date-or-clock-wrong'],
    ])
  })

  it('is never refused, whatever was typed', () => {
    const reading = fc.double({ min: 0, max: 1e6, noNaN: true })
    const instant = fc
      .date({ min: new Date('2000-01-01'), max: new Date('2050-01-01'), noInvalidDate: true })
      .map((date) => date.toISOString())
    const turn = fc.record({ openingM3: reading, closingM3: reading, startAt: instant, stopAt: instant })
    fc.assert(
      fc.property(turn, (typed) => {
        const codes = withTurn(typed).map((flag) => flag.code)
        expect(codes.includes('closing-below-opening')).toBe(typed.closingM3 < typed.openingM3)
        expect(codes.includes('stop-before-start')).toBe(typed.stopAt < typed.startAt)
      }),
    )
  })
})

describe('a swap of neighbouring digits', () => {
  it('is swapped back wherever the reading before vouches for it', () => {
    const reading = fc.integer({ min: 10, max: 9_999_999 })
    fc.assert(
      fc.property(reading, fc.nat(), (previousClosingM3, place) => {
        const digits = String(previousClosingM3)
        const at = place % (digits.length - 1)
        const swapped = digits.slice(0, at) + digits[at + 1] + digits[at] + digits.slice(at + 2)
        fc.pre(swapped !== digits)
        const turn = { outletId: '6', pumpId: 'upper', openingM3: Number(swapped), meterDigits: digits.length }
        const [flag] = plausibility({ turn, previousClosingM3 })
        expect(flag).toMatchObject({ code: 'gap-to-last-reading', likelyCause: 'digits-swapped' })
        expect(flag!.values.suggestedM3).toBe(previousClosingM3)
      }),
    )
  })

  it('keeps what stands behind the point, and counts the noughts before a number', () => {
    const suggested = (openingM3: number, previousClosingM3: number) =>
      plausibility({ turn: { outletId: '6', pumpId: 'upper', openingM3, meterDigits: 5 }, previousClosingM3 })[0]!
        .values.suggestedM3
    expect([2453.5, 4523.5, 4235.5].map((before) => suggested(4253.5, before))).toEqual([2453.5, 4523.5, 4235.5])
    expect(suggested(41, 401)).toBe(401)
  })

  it('is suggested only when there is one that fits', () => {
    // 123 may be 213 or 132; above 130 and by no more than 200 m3 either would do, by no more than 40 only 132.
    const cause = (planM3: number) =>
      withTurn(
        { startAt: undefined, stopAt: undefined, openingM3: 130, closingM3: 123 },
        { previousClosingM3: 130, nextOpeningM3: undefined, plan: { ...HONEST.plan!, volumeM3: planM3 } },
      ).find(({ code }) => code === 'closing-below-opening')!
    expect(cause(100).likelyCause).toBe('readings-exchanged')
    expect(cause(20)).toMatchObject({ likelyCause: 'digits-swapped', values: { suggestedClosingM3: 132 } })
  })
})
