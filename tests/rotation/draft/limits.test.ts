import { describe, expect, it } from 'vitest'
import { seasonAllocationInput, weekTimetableInput } from '../../../domain/rotation/draft/limits.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { ruleWeek } from '../rule/week.ts'

/**
 * Two days. The pump gives 4 m3/h from 8 to 10 and 2 m3/h from 10 to 13, 14 m3 a day; `wide` carries 9 m3/h and `thin` 3 m3/h, so
 * 14 and 12; the tank holds 5 above its mark, 1.5 of them now, and feeds `fed` with 2 m3/h from 20 to 23.
 */
function week(more: Partial<WeekInputs> = {}): WeekInputs {
  const base = ruleWeek({ plots: { a: { needM3: 5 }, b: { needM3: 6 } }, weirs: { weir: 50.0009 }, drinkingM3: 2 })
  const days = base.days.slice(0, 2)
  const hours = Array.from({ length: 24 }, (_, hour) => (hour < 8 || hour >= 13 ? 0 : hour < 10 ? 4 : 2))
  const [outlet] = base.outlets
  return {
    ...base,
    days,
    weirs: base.weirs.map((weir) => ({ ...weir, coverDays: 17 })),
    pumps: [
      { ...base.pumps[0]!, outletsAtOnce: 3, flowM3PerHByDay: Object.fromEntries(days.map((on) => [on, hours])) },
    ],
    outlets: [
      { ...outlet!, id: 'wide', flowM3PerH: 9 },
      { ...outlet!, id: 'thin', flowM3PerH: 3 },
      { ...outlet!, id: 'fed', flowM3PerH: 2, tankId: 'tank' },
    ],
    tanks: [
      {
        ...{ id: 'tank', number: 1, name: 'Hill', pumpId: 'pump-weir', areaM2: 3, capacityM3: 6, floorM3: 1 },
        ...{ servesStand: true, startM3: 2.5, reading: null, gravityHours: [{ fromHour: 20, toHour: 23 }] },
      },
    ],
    ...more,
  }
}
const NOTHING = { pumpM3: {}, claimM3: {} }

describe('the limits of a week', () => {
  const limits = (inputs: WeekInputs, carried: Parameters<typeof seasonAllocationInput>[1] = NOTHING) => {
    const { pumps, tanks, outlets } = seasonAllocationInput(inputs, carried)
    return Object.fromEntries([...pumps, ...(tanks ?? []), ...outlets].map(({ id, weekM3 }) => [id, weekM3]))
  }
  /** What stands in the tank has been lifted already; each day's 14 fill it once to its 5. People are served by hand. */
  const ALL = { 'pump-weir': 28 + 1.5, tank: 1.5 + 2 * 5, wide: 28, thin: 24, fed: 12, 'hand-weir': 50 }

  it('are what pump, tank and outlets can carry in its days', () => {
    expect(limits(week())).toEqual(ALL)
    const { weirs, claims } = seasonAllocationInput(week(), NOTHING)
    expect(weirs).toEqual([{ id: 'weir', releasableM3: 50, coverDays: 17 }])
    expect(claims.map(({ id }) => id)).toEqual(['drinking-weir', 'a', 'b'])
    const bare = week({ weirs: week().weirs.map(({ coverDays: _, ...weir }) => weir), tanks: [] })
    expect(seasonAllocationInput(bare, NOTHING).weirs).toStrictEqual([{ id: 'weir', releasableM3: 50 }])
    expect('tanks' in seasonAllocationInput(bare, NOTHING)).toBe(false)
  })

  it('are less by what hours were found to carry, and never more', () => {
    expect(limits(week(), { pumpM3: { 'pump-weir': 20.25 }, tankM3: { tank: 3.125 }, claimM3: {} })).toEqual({
      ...ALL,
      'pump-weir': 20.25,
      tank: 3.125,
    })
    expect(limits(week(), { pumpM3: { 'pump-weir': 99 }, tankM3: { tank: 99 }, claimM3: {} })).toEqual(ALL)
  })

  it('know a closed day of all, of the pump or of one outlet, and what a broken pump leaves in its tank', () => {
    const shut = (more: Partial<WeekInputs['closures'][number]>) =>
      limits(week({ closures: [{ on: '2026-06-09', pumpId: null, words: '', ...more }] }))
    const half = { ...ALL, 'pump-weir': 14 + 1.5, tank: 6.5, wide: 14, thin: 12, fed: 6 }
    expect(shut({})).toEqual(half)
    expect(shut({ pumpId: 'pump-weir' })).toEqual(half)
    expect(shut({ pumpId: 'other' })).toEqual(ALL)
    expect(shut({ on: '2026-06-20' })).toEqual(ALL)
    expect(shut({ pumpId: 'pump-weir', outletId: 'thin' })).toEqual({ ...ALL, thin: 12 })
    expect(shut({ pumpId: 'pump-weir', outletId: 'fed' })).toEqual({ ...ALL, fed: 6 })
    expect(shut({ pumpId: 'pump-weir', fault: { id: 'f', foundOn: '2026-06-01' } })).toEqual({ ...half, fed: 12 })
  })
})

describe('the work for the hours of a week', () => {
  const claim = (id: string, byOutletM3: Record<string, number>) =>
    ({ id, allocatedM3: 0, byOutletM3 }) as unknown as Parameters<typeof weekTimetableInput>[1][number]
  const turns = (count: number) => ({ count, firstPart: 0.25 })
  const inputs = week()
  const [a, b] = inputs.claims
  const spaced = {
    ...inputs,
    claims: [
      { ...a!, turns: turns(2), latestOn: '2026-06-09' },
      { ...b!, turns: turns(1) },
    ],
  }
  const work = weekTimetableInput(spaced as WeekInputs, [
    claim('drinking-weir', { 'hand-weir': 2 }),
    claim('a', { wide: 1.25, thin: 0.5 }),
    claim('a/2', { wide: 0.125, fed: 0 }),
    claim('b', { thin: 3, wide: 0 }),
  ])

  it('is what each plot takes at each outlet, its classes together, without what is nothing and what people drink', () => {
    const ofA = { claimId: 'a', plotId: 'a', latestOn: '2026-06-09', spaced: { turns: 2, firstPart: 0.25 } }
    expect(work.allocations).toEqual([
      { ...ofA, outletId: 'wide', volumeM3: 1.375 },
      { ...ofA, outletId: 'thin', volumeM3: 0.5 },
      { claimId: 'b', plotId: 'b', outletId: 'thin', volumeM3: 3 },
    ])
    expect(work.together).toEqual([{ pumpId: 'pump-weir', atMost: 3 }])
  })
})
