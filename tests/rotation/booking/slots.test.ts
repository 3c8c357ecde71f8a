import { describe, expect, it } from 'vitest'
import {
  keptForShort,
  leftOfEntitlementM3,
  openSlots,
  openWaterM3,
  tryBooking,
} from '../../../domain/rotation/booking.ts'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import { ruleWeek, WEEK_ON } from '../rule/week.ts'

// By hand: one weir releases 50 m3, 10 of them for drinking, a fifth stays unbooked: 40 may be planned, 30 of them for plots.
// Equal parts of 15; plot a needs 15 and b asks for 5, so a has 15, b 5, and b may still book 10.
const inputs = ruleWeek({
  rule: { sparePart: 0.2 },
  plots: { a: { needM3: 15 }, b: { needM3: 20, requestedM3: 5 } },
  weirs: { weir: 50 },
  drinkingM3: 10,
})
const results = planWeek(inputs)
const week = { inputs, results, turns: results.turns }
const outletId = inputs.plots.find((plot) => plot.id === 'b')!.outletIds[0]!
const day = inputs.days.at(-1)!
const wish = (more: Partial<Parameters<typeof tryBooking>[1]> = {}) =>
  tryBooking(week, { plotId: 'b', outletId, on: day, startMinute: 480, volumeM3: 10, ...more })

describe('free hours', () => {
  it('have the water that was not planned, the spare part with it', () => {
    expect(openWaterM3(week, inputs.weirs[0]!.id)).toBe(50 - 10 - 20)
    expect(leftOfEntitlementM3(week, 'b')).toBe(10)
    expect(leftOfEntitlementM3(week, 'a')).toBe(0)
  })

  it('leave each plot its own part, less what it received and its own turns', () => {
    const shares = [
      { ...results.shares[0]!, plotId: 'a', entitledM3: 9, receivedM3: 1 },
      { ...results.shares[0]!, plotId: 'b', entitledM3: 20, receivedM3: 4 },
    ]
    const turns = [
      { plotId: 'a', pumpId: 'p', volumeM3: 3 },
      { plotId: 'b', pumpId: 'p', volumeM3: 6 },
    ]
    const uneven = { results: { drinking: [], shares }, turns }
    expect(['a', 'b', 'c'].map((plotId) => leftOfEntitlementM3(uneven, plotId))).toEqual([5, 10, 0])
  })

  it('are the pump’s hours without a turn, five minutes away from the turns', () => {
    const turn = results.turns[0]!
    const [pump] = inputs.pumps
    const alone = { inputs, turns: [{ ...turn, on: WEEK_ON, startMinute: 540, endMinute: 600 }], on: WEEK_ON }
    expect(openSlots(alone)).toEqual([
      { on: WEEK_ON, pumpId: pump!.id, startMinute: 420, endMinute: 535 },
      { on: WEEK_ON, pumpId: pump!.id, startMinute: 605, endMinute: 1020 },
    ])
  })

  it('are booked within entitlement, water, hours and flow, to a litre', () => {
    expect(wish()).toMatchObject({ turn: { startMinute: 480, endMinute: 540, volumeM3: 10 } })
    expect(wish({ volumeM3: 10.001 })).toEqual({ refusal: 'beyond-entitlement', leftM3: 10 })
    // 10 m3 an hour until 17:00: half an hour brings 5 m3.
    expect(wish({ startMinute: 16 * 60 + 30 })).toEqual({ refusal: 'beyond-flow', leftM3: 5 })
    expect(wish({ on: '2027-01-01' })).toEqual({ refusal: 'not-in-week' })
    const turn = { ...results.turns[0]!, plotId: 'a', on: day, startMinute: 540, endMinute: 600 }
    const taken = tryBooking(
      { ...week, turns: [turn] },
      { plotId: 'b', outletId, on: day, startMinute: 480, volumeM3: 10 },
    )
    // From 08:00 to five minutes before 09:00 are 55 minutes: 9.1666 m3, to the litre below.
    expect(taken).toEqual({ refusal: 'slot-taken', leftM3: 9.166 })
  })

  it('keep water for a plot that a day left short, before anybody else books it', () => {
    // 20 m3 are open. Plot a lost 12 of its 15 m3 and has booked 2 of them since: 10 are kept, so that b finds 20 - 10 + 12.
    const [own] = results.turns.filter((turn) => turn.plotId === 'a')
    const others = results.turns.filter((turn) => turn !== own)
    const { weirId } = inputs.pumps[0]!
    const turns = [{ ...own!, volumeM3: 3 }, { ...own!, id: 'booked', volumeM3: 2 }, ...others]
    const short = { ...week, turns, shortfalls: [{ plotId: 'a', weirId, shortM3: 12, bookedSinceM3: 2 }] }
    expect(openWaterM3(short, weirId)).toBe(30)
    expect(keptForShort(short, weirId)).toEqual([{ plotId: 'a', volumeM3: 10 }])
    const scarce = { ...short, inputs: { ...inputs, weirs: inputs.weirs.map((one) => ({ ...one, releasableM3: 32 })) } }
    const asked = { plotId: 'b', outletId, on: day, startMinute: 480, volumeM3: 3 }
    expect(tryBooking(scarce, asked)).toEqual({ refusal: 'kept-for-short', leftM3: 2 })
    expect(tryBooking(scarce, { ...asked, volumeM3: 2 })).toMatchObject({ turn: { volumeM3: 2 } })
    expect(tryBooking(scarce, { ...asked, plotId: 'a', volumeM3: 10 })).toMatchObject({ turn: { volumeM3: 10 } })
  })

  it('keep of two short days what was not booked since the first of them', () => {
    // Short by 4 on one day, then by 3 on the next; the 2 booked between them count once: 7 - 2 are kept.
    const [own] = results.turns.filter((turn) => turn.plotId === 'a')
    const others = results.turns.filter((turn) => turn !== own)
    const { weirId } = inputs.pumps[0]!
    const days = [
      { plotId: 'a', weirId, shortM3: 4, bookedSinceM3: 2 },
      { plotId: 'a', weirId, shortM3: 3, bookedSinceM3: 0 },
    ]
    const turns = [{ ...own!, volumeM3: 3 }, { ...own!, id: 'booked', volumeM3: 2 }, ...others]
    for (const shortfalls of [days, days.toReversed()])
      expect(keptForShort({ ...week, turns, shortfalls }, weirId)).toEqual([{ plotId: 'a', volumeM3: 5 }])
  })
})
