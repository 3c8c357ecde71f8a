import { describe, expect, it } from 'vitest'
import { laidWeek } from '../../../domain/rotation/draft/laid-week.ts'
import { timetable } from '../../../domain/rotation/timetable/timetable.ts'
import type { TimetableResult } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { ruleWeek } from '../rule/week.ts'

/** Two plots that need 20 m3 each of the 30 that the weir gives, each with an outlet of its own of 10 m3/h. */
function week(change: (inputs: WeekInputs) => Partial<WeekInputs> = () => ({})): WeekInputs {
  const base = ruleWeek({ plots: { a: { needM3: 20, outletIds: ['x'] }, b: { needM3: 20, outletIds: ['y'] } } })
  const outlets = ['x', 'y'].map((id, number) => ({ ...base.outlets[0]!, id, number }))
  return { ...base, outlets, ...change({ ...base, outlets }) }
}

const NO_FACTS = {
  pumps: [],
  linePositions: {},
  notTogether: [],
  fillingMinutes: {},
  burdens: {},
  officerPlotIds: [],
  changes: [],
}

const given = (inputs: WeekInputs) => {
  const { allocation, timetable } = laidWeek(inputs)
  const ofPlots = allocation.claims.filter(({ id }) => !id.startsWith('drinking'))
  expect(timetable.unplacedM3).toEqual([])
  return Object.fromEntries(ofPlots.map(({ id, allocatedM3 }) => [id, allocatedM3]))
}

describe('a week laid by turns of allocation and timetable', () => {
  it('shares alike where the hours carry it', () => {
    expect(given(week())).toEqual({ a: 15, b: 15 })
  })

  it('is laid once where all has its hour, and at most four times', () => {
    const lays = (unplacedM3: TimetableResult['unplacedM3']) => {
      let count = 0
      laidWeek(week(), (input) => {
        count++
        return { ...timetable(input), unplacedM3 }
      })
      return count
    }
    expect(lays([])).toBe(1)
    expect(lays([{ claimId: 'a', outletId: 'x', volumeM3: 0.5, reason: 'pump-full' }])).toBe(4)
  })

  it('gives to the other what the hours of one cannot carry', () => {
    // The holder of a is free from 7:00 to 7:30 on the first day alone: 5 m3; the rest of 30 is 25, of which b needs 20.
    const busy = week((inputs) => ({
      turnFacts: {
        ...NO_FACTS,
        noTurnHours: inputs.days.map((on, day) => ({
          plotId: 'a',
          on,
          fromHour: day === 0 ? 7.5 : 0,
          toHour: 24,
          words: '',
        })),
      },
    }))
    expect(given(busy)).toEqual({ a: 5, b: 20 })
  })

  it('cuts both alike where the walks between turns leave the pump too few hours', () => {
    // One hour of one day: 10 m3 are given out, but five minutes go to the walk.
    const short = week((inputs) => ({
      days: inputs.days.slice(0, 1),
      pumps: inputs.pumps.map((pump) => ({
        ...pump,
        flowM3PerHByDay: { [inputs.days[0]!]: Array.from({ length: 24 }, (_, hour) => (hour === 8 ? 10 : 0)) },
      })),
    }))
    const { turns } = laidWeek(short).timetable
    const [a, b] = ['a', 'b'].map((id) =>
      turns.filter(({ plotId }) => plotId === id).reduce((sum, one) => sum + one.volumeM3, 0),
    ) as [number, number]
    // Fifty-five minutes of 10 m3/h; turns begin on full five minutes, which are 0.83 m3.
    expect(a + b).toBeLessThanOrEqual((10 * 55) / 60 + 0.001)
    expect(a + b).toBeGreaterThan((10 * 50) / 60)
    expect(Math.abs(a - b)).toBeLessThan(10 / 12)
  })
})
