import { describe, expect, it } from 'vitest'
import { moveUp } from '../../../domain/rotation/day/move-up.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import { ruleWeek, WEEK_ON } from '../rule/week.ts'

// By hand: one pump of 10 m3 an hour from 07:00 to 17:00, one outlet of 10 m3 an hour for all plots, five minutes between turns.
const base = ruleWeek({ plots: { a: { needM3: 30 }, b: { needM3: 30 }, c: { needM3: 30 } } })
const outletId = base.outlets[0]!.id
const facts = { pumps: [], linePositions: {}, notTogether: [], fillingMinutes: {}, burdens: {}, officerPlotIds: [] }
const cannot = (plotId: string, fromHour: number, toHour: number) => ({
  ...base,
  turnFacts: { ...facts, changes: [], noTurnHours: [{ plotId, on: WEEK_ON, fromHour, toHour, words: 'school' }] },
})

function turn(plotId: string, startMinute: number, minutes: number): PlannedTurn {
  const place = { id: plotId, claimId: plotId, plotId, outletId, pumpId: base.pumps[0]!.id, on: WEEK_ON, order: 0 }
  const endMinute = startMinute + minutes
  return { ...place, startMinute, endMinute, volumeM3: minutes / 6, hours: minutes / 60, burdens: [] }
}

const freed = turn('a', 480, 120)
const [b, c] = [turn('b', 605, 60), turn('c', 670, 120)]

describe('the next on the list', () => {
  it('takes the freed hours from their start, with its own volume and length', () => {
    const moved = moveUp({ inputs: base, turns: [b, c], freed, fromMinute: 0 })
    expect(moved).toMatchObject({ was: b, now: { startMinute: 480, endMinute: 540, volumeM3: 10 } })
  })

  it('is not called before now, and starts on full five minutes', () => {
    const moved = moveUp({ inputs: base, turns: [b, c], freed, fromMinute: 497 })
    expect(moved!.now).toMatchObject({ startMinute: 500, endMinute: 560 })
  })

  it('is the one after it where the holder cannot come then', () => {
    // b has school from eight to ten; c takes two hours, but from eight on that is exactly ten, and b stands at 10:05.
    const moved = moveUp({ inputs: cannot('b', 8, 10), turns: [b, c], freed, fromMinute: 0 })
    expect(moved).toMatchObject({ was: c, now: { startMinute: 480, endMinute: 600 } })
  })

  it('is nobody where nobody fits between the turns that stand', () => {
    const late = { inputs: cannot('b', 8, 10), turns: [b, c], freed, fromMinute: 510 }
    expect(moveUp(late)).toBeNull() // From 8:30 on c would need until 10:30, and b has its turn at 10:05.
    expect(moveUp({ inputs: base, turns: [], freed, fromMinute: 0 })).toBeNull()
  })

  it('is of two who begin together the first on the list', () => {
    const other = { ...base.outlets[0]!, id: 'other', number: 2, name: 'other' }
    const inputs = {
      ...base,
      outlets: [...base.outlets, other],
      pumps: base.pumps.map((pump) => ({ ...pump, outletsAtOnce: 2 })),
    }
    const [second, first] = [
      { ...turn('b', 605, 60), order: 3 },
      { ...turn('c', 605, 60), order: 2, outletId: other.id },
    ]
    expect(moveUp({ inputs, turns: [second, first], freed, fromMinute: 0 })).toMatchObject({ was: first })
  })

  it('leaves alone whoever is running or was on the list before', () => {
    const before = turn('c', 420, 55)
    expect(moveUp({ inputs: base, turns: [before], freed, fromMinute: 0 })).toBeNull()
  })
})
