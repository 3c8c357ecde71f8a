import { describe, expect, it } from 'vitest'
import {
  gravityOutletM3,
  leavesGravity,
  standingM3,
  tankTurnover,
  tankWorksOf,
} from '../../../domain/rotation/draft/tanks.ts'
import type { WeekClosure, WeekInputs, WeekTank } from '../../../domain/rotation/week/inputs.ts'
import { ruleWeek } from '../rule/week.ts'

const tank = (more: Partial<WeekTank> = {}): WeekTank => ({
  id: 'hill',
  number: 1,
  name: 'Hill',
  pumpId: 'pump-upper',
  areaM2: 3,
  capacityM3: 6,
  floorM3: 1,
  servesStand: true,
  startM3: 2.5,
  reading: null,
  gravityHours: null,
  ...more,
})

/** Three days of two pumps: the upper one gives 4 m3 from 8 to 9 and 20 from 12 to 16, and a tank hangs on it. */
function week(closures: Partial<WeekClosure>[] = [], tanks: WeekTank[] = [tank()]): WeekInputs {
  const base = ruleWeek({ plots: { a: { needM3: 5 } }, weirs: { upper: 90, lower: 90 } })
  const days = base.days.slice(0, 3)
  const flow = (hour: number) => (hour === 8 ? 4 : hour >= 12 && hour < 16 ? 5 : 0)
  const flowM3PerHByDay = Object.fromEntries(
    days.map((on) => [on, Array.from({ length: 24 }, (_, hour) => flow(hour))]),
  )
  const [upper, lower] = base.outlets
  return {
    ...base,
    days,
    pumps: base.pumps.map((pump) => ({ ...pump, flowM3PerHByDay })),
    outlets: [upper!, lower!, { ...upper!, id: 'fed', flowM3PerH: 2, tankId: 'hill' }],
    tanks,
    closures: closures.map((one) => ({ on: days[0]!, pumpId: null, words: '', ...one })),
  }
}
const FAULT = { fault: { id: 'f', foundOn: '2026-06-01' } }

describe('a closure and what runs out of a tank', () => {
  it('leaves it only where a pump with a tank, and not one outlet, is broken', () => {
    const leaves = (closure: Partial<WeekClosure>, tanks?: WeekTank[]) => {
      const inputs = week([closure], tanks)
      return leavesGravity(inputs, inputs.closures[0]!)
    }
    expect(leaves({ ...FAULT, pumpId: 'pump-upper' })).toBe(true)
    expect(leaves({ ...FAULT, pumpId: 'pump-upper' }, [tank({ id: 'far', pumpId: 'pump-lower' }), tank()])).toBe(true)
    expect(leaves({ pumpId: 'pump-upper' })).toBe(false)
    expect(leaves({ ...FAULT, pumpId: 'pump-lower' })).toBe(false)
    expect(leaves({ ...FAULT, pumpId: 'pump-upper', outletId: 'fed' })).toBe(false)
    expect(leaves({ ...FAULT, pumpId: 'pump-upper' }, [])).toBe(false)
    expect(leaves({ pumpId: 'pump-upper', outletId: 'fed' })).toBe(false)
  })

  it('is told to the course of the tank as the day, the pump and the outlet that it names; a broken pump as a day without flow', () => {
    const inputs = week([
      { on: '2026-06-08' },
      { on: '2026-06-08', pumpId: 'pump-lower' },
      { on: '2026-06-10', pumpId: 'pump-lower', outletId: 'outlet-lower' },
      { ...FAULT, on: '2026-06-09', pumpId: 'pump-upper' },
      { ...FAULT, on: '2026-06-09', pumpId: 'pump-lower' },
    ])
    const works = tankWorksOf(inputs)
    expect(works.unavailable).toStrictEqual([
      { on: '2026-06-08' },
      { on: '2026-06-08', pumpId: 'pump-lower' },
      { on: '2026-06-10', pumpId: 'pump-lower', outletId: 'outlet-lower' },
      { on: '2026-06-09', pumpId: 'pump-lower' },
    ])
    const lifted = works.pumps.map(({ flowM3PerHByDay }) =>
      inputs.days.map((day) => flowM3PerHByDay[day]!.reduce((sum, flow) => sum + flow, 0)),
    )
    expect(lifted).toEqual([
      [24, 0, 24],
      [24, 24, 24],
    ])
    expect(works.outlets.map(({ id, tankId }) => [id, tankId])).toEqual([
      ['outlet-upper', undefined],
      ['outlet-lower', undefined],
      ['fed', 'hill'],
    ])
  })
})

describe('what a tank turns over in a week', () => {
  it('is what stands above its mark, and each stretch of its pump’s hours up to a full tank', () => {
    const turnover = (more: Partial<WeekTank>, closures?: Partial<WeekClosure>[]) => {
      const own = tank(more)
      return tankTurnover(week(closures, [own]), own)
    }
    // 1.5 stand above the mark; on each of three days 4 come in the morning and 5 of the 20 find room.
    expect(turnover({})).toEqual({ id: 'hill', pumpId: 'pump-upper', weekM3: 1.5 + 3 * 9 })
    expect(turnover({ startM3: 0.5 }).weekM3).toBe(27)
    expect(turnover({ capacityM3: 4 }).weekM3).toBe(1.5 + 3 * 6)
    expect(turnover({ capacityM3: 0.5 }).weekM3).toBe(1.5)
    expect(turnover({ capacityM3: 6.0009, floorM3: 1.0001, startM3: 2.5009 }).weekM3).toBe(1.499 + 3 * 8.999)
    expect(turnover({}, [{ pumpId: 'pump-upper' }]).weekM3).toBe(1.5 + 2 * 9)
  })

  it('has of what stands in a pump’s own tanks what is above their marks', () => {
    const tanks = [
      tank(),
      tank({ id: 'empty', startM3: 0.25, floorM3: 1 }),
      tank({ id: 'low', startM3: 4, floorM3: 0 }),
      tank({ id: 'far', pumpId: 'pump-lower', startM3: 7, floorM3: 0.5 }),
    ]
    expect(['pump-upper', 'pump-lower', 'none'].map((id) => standingM3({ tanks }, id))).toEqual([5.5, 6.5, 0])
    expect(standingM3({}, 'pump-upper')).toBe(0)
  })
})

it('an outlet on a tank carries its flow in the tank’s hours that are not its pump’s, with the walk beside them', () => {
  const rules = { minTurnMinutes: 10, changeoverMinutes: 15 }
  const hours = (gravityHours: WeekTank['gravityHours'], closures?: Partial<WeekClosure>[]) => {
    const other = tank({ id: 'other', gravityHours: [{ fromHour: 0, toHour: 1 }] })
    const inputs = week(closures, [other, tank({ gravityHours })])
    return gravityOutletM3(inputs, inputs.outlets[2]!, { days: inputs.days.slice(0, 2), rules }) / 2
  }
  // 24 hours without the five and twice half an hour; 6 to 10 without 7:45 to 9:15; the closed day is one of two.
  expect(hours(null)).toBe(2 * 18)
  expect(hours([{ fromHour: 6, toHour: 10 }])).toBe(2 * 2.5)
  expect(hours(null, [{ pumpId: 'pump-upper' }])).toBe(18)
  expect(hours(null, [{ ...FAULT, pumpId: 'pump-upper' }])).toBe(18 + 24)
  const none = week([], [])
  expect(gravityOutletM3(none, none.outlets[2]!, { days: none.days, rules })).toBe(0)
})
