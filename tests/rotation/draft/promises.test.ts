import { describe, expect, it } from 'vitest'
import { checkRule } from '../../../domain/rotation/draft/check-rule.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { ruleWeek, type TestPlot } from '../rule/week.ts'

/** What the judge says of a week in which plots got so much, through the first outlet where none is told, and the people so much to drink. */
function said(
  inputs: WeekInputs,
  gotM3: Record<string, number | Record<string, number>>,
  more: { drinkM3?: number; heldByHours?: string } = {},
) {
  const claims = Object.entries(gotM3).map(([id, got]) => {
    const outletId = inputs.plots.find((plot) => plot.id === id.split('/')[0])!.outletIds[0]!
    const byOutletM3 = typeof got === 'number' ? { [outletId]: got } : got
    return { id, allocatedM3: Object.values(byOutletM3).reduce((sum, m3) => sum + m3, 0), byOutletM3 }
  })
  const drinking = { id: 'drinking-weir', allocatedM3: more.drinkM3 ?? 0, byOutletM3: { hand: more.drinkM3 ?? 0 } }
  const shares = [{ plotId: more.heldByHours, heldBy: { kind: 'hours' } }]
  return checkRule(inputs, { allocation: { claims: [...claims, drinking] }, shares } as never).map(
    ({ code, values }) => `${code} ${values.plot ?? values.weir}`,
  )
}
type Rule = NonNullable<Parameters<typeof ruleWeek>[0]['rule']>
const week = (plots: Record<string, TestPlot>, rule: Rule = {}, more: object = {}) => ruleWeek({ plots, rule, ...more })

// Six litres are what rounding down may hide; seven are not.

describe('the spare part and the drinking water', () => {
  const spare = week({ a: { needM3: 30 } }, { sparePart: 0.1 }, { drinkingM3: 5 })

  it('are left by plots that draw, to what rounding hides', () => {
    expect(said(spare, { a: 22 }, { drinkM3: 5 })).toEqual([])
    expect(said(spare, { a: 22.005 }, { drinkM3: 5 })).toEqual([])
    expect(said(spare, { a: 22.007 }, { drinkM3: 5 })).toEqual(['spare-booked weir'])
    expect(said(spare, { a: 20 }, { drinkM3: 4.994 })).toEqual([])
    expect(said(spare, { a: 20 }, { drinkM3: 4.993 })).toEqual(['drinking-short weir'])
    const dry = week({ a: { needM3: 30 } }, {}, { weirs: { weir: 0 } })
    expect([said(dry, { a: 0.006 }), said(dry, { a: 0.007 })]).toEqual([[], ['spare-booked weir']])
  })

  it('are nobody’s fault where no plot draws from the weir', () => {
    expect(said(spare, {}, { drinkM3: 1 })).toEqual([])
    expect(said(spare, {}, { drinkM3: 29 })).toEqual([])
    const two = week(
      { a: { needM3: 30, outletIds: ['outlet-far'] } },
      {},
      { drinkingM3: 5, weirs: { weir: 30, far: 30 } },
    )
    expect(said(two, { a: 9 }, { drinkM3: 1 })).toEqual(['drinking-short far'])
  })
})

describe('the most of a plot', () => {
  it('is its need, its request, or what a declared stage leaves of its class', () => {
    const most = (inputs: WeekInputs, m3: number) => {
      expect(said(inputs, { a: m3 + 0.006 })).toEqual([])
      expect(said(inputs, { a: m3 + 0.007 })).toEqual(['above-cap a'])
    }
    most(week({ a: { needM3: 8 } }), 8)
    most(week({ a: { needM3: 8, requestedM3: 5 } }), 5)
    most(week({ a: { needM3: 8, requestedM3: 12 } }), 8)
    const drought = { drought: { stage: 2, capByClass: { food: 0.5 } } }
    most(week({ a: { needM3: 8 } }, {}, drought), 4)
    most(week({ a: { needM3: 8, requestedM3: 3 } }, {}, drought), 3)
    most(week({ a: { needM3: 8, requestedM3: 6 } }, {}, drought), 4)
    most(week({ a: { needM3: 8, class: 'market' } }, {}, drought), 8)
  })

  it('has what was carried over where another rule than evening out was picked', () => {
    const carried = (rule: string) => week({ a: { needM3: 8 } }, {}, { carryOverM3: { a: 1 }, choice: { rule } })
    expect(said(carried('queue'), { a: 9.006 })).toEqual([])
    expect(said(carried('queue'), { a: 9.007 })).toEqual(['above-cap a'])
    expect(said(carried('evening-out'), { a: 8.007 })).toEqual(['above-cap a'])
  })

  it('is that of all its classes together', () => {
    const parts: TestPlot['parts'] = [
      { class: 'food', needM3: 3, stageRank: null },
      { class: 'market', needM3: 4, stageRank: null },
    ]
    const two = week({ a: { needM3: 7, parts } }, {}, { drought: { stage: 1, capByClass: { market: 0.5 } } })
    expect(said(two, { a: 3, 'a/2': 2.006 })).toEqual([])
    expect(said(two, { a: 3, 'a/2': 2.007 })).toEqual(['above-cap a'])
  })
})

describe('a protected plot', () => {
  const plots = { a: { needM3: 10 }, b: { needM3: 10 } }
  const guarded = (upToStage: number | null = null) => ({ protectedPlots: [{ plotId: 'a', upToStage }] })

  it('is short while another has water through its outlet', () => {
    expect(said(week(plots, guarded()), { a: 9.994, b: 5 })).toEqual([])
    expect(said(week(plots, guarded()), { a: 9.993, b: 5 })).toEqual(['protected-short a'])
    expect(said(week(plots, guarded()), { a: 4, b: 0.006 })).toEqual([])
    expect(said(week(plots, guarded()), { a: 4, b: 0.007 })).toEqual(['protected-short a'])
    expect(said(week(plots, guarded()), { b: 4 })).toEqual(['protected-short a'])
    expect(said(week(plots, guarded()), { a: 4, b: 5 }, { heldByHours: 'a' })).toEqual([])
    expect(said(week(plots, guarded()), { a: 4, b: 5 }, { heldByHours: 'b' })).toEqual(['protected-short a'])
    const both = { weirs: { weir: 30, far: 30 } }
    const through = (m3: number) =>
      said(week(plots, guarded(), both), { a: 4, b: { 'outlet-far': 5, 'outlet-weir': m3 } })
    const own = { ...plots, a: { needM3: 10, outletIds: ['outlet-weir'] } }
    const beside = (m3: number) => said(week(own, guarded(), both), { a: 4, b: { 'outlet-far': 5, 'outlet-weir': m3 } })
    expect([beside(0.006), beside(0.007), through(0)]).toEqual([[], ['protected-short a'], ['protected-short a']])
    const apart = { a: { needM3: 10, outletIds: ['outlet-weir'] }, b: { needM3: 10, outletIds: ['outlet-far'] } }
    expect(said(week(apart, guarded(), { weirs: { weir: 30, far: 30 } }), { a: 4, b: 5 })).toEqual([])
  })

  it('is not beside another protected one that has no more than its own, and is up to its stage alone', () => {
    const both = {
      protectedPlots: [
        { plotId: 'a', upToStage: null },
        { plotId: 'b', upToStage: null },
      ],
    }
    expect(said(week(plots, both), { a: 4, b: 10 })).toEqual([])
    const stage = (declared: number) =>
      said(week(plots, guarded(2), { drought: { stage: declared, capByClass: {} } }), { a: 4, b: 5 })
    expect([stage(2), stage(3)]).toEqual([['protected-short a'], []])
    expect(said(week(plots, guarded(0)), { a: 4, b: 5 })).toEqual(['protected-short a'])
  })

  it('is promised its whole need under a stage that caps its class', () => {
    const capped = { drought: { stage: 1, capByClass: { food: 0.5 } } }
    expect(said(week(plots, guarded(), capped), { a: 9.993, b: 5 })).toEqual(['protected-short a'])
    expect(said(week(plots, guarded(), capped), { a: 10, b: 5 })).toEqual([])
  })
})

describe('a minimum', () => {
  /** Food stands first with a least of a half; market second with none. */
  const classes = [
    { class: 'food', place: 1, minimumPart: 0.5 },
    { class: 'market', place: 2, minimumPart: null },
  ]
  const rule = (more: object = {}) => ({ classes, ...more }) as Rule
  const plots = { a: { needM3: 10 }, b: { needM3: 10 }, c: { needM3: 10, class: 'market' } } as Record<string, TestPlot>

  it('is short while another has more than its own least', () => {
    expect(said(week(plots, rule()), { a: 4.994, b: 8 })).toEqual([])
    expect(said(week(plots, rule()), { a: 4.993, b: 8 })).toEqual(['minimum-short a'])
    expect(said(week(plots, rule()), { a: 3, b: 5.006 })).toEqual([])
    expect(said(week(plots, rule()), { a: 3, b: 5.007 })).toEqual(['minimum-short a'])
    expect(said(week(plots, rule()), { a: 3, b: 5, c: 0.007 })).toEqual(['minimum-short a'])
    expect(said(week(plots, rule()), { a: 5, b: 5, c: 10 })).toEqual([])
  })

  it('is no more than was asked for or a stage leaves, and stands behind a protected plot', () => {
    expect(said(week({ ...plots, a: { needM3: 10, requestedM3: 4 } }, rule()), { a: 3.994, b: 8 })).toEqual([])
    expect(said(week({ ...plots, a: { needM3: 10, requestedM3: 4 } }, rule()), { a: 3.993, b: 8 })).toEqual([
      'minimum-short a',
    ])
    const capped = { drought: { stage: 1, capByClass: { food: 0.3 } } }
    expect(said(week(plots, rule(), capped), { a: 2.994, b: 3, c: 9 })).toEqual([])
    expect(said(week(plots, rule(), capped), { a: 2.993, b: 3, c: 9 })).toEqual(['minimum-short a'])
    const guarded = rule({ protectedPlots: [{ plotId: 'b', upToStage: null }] })
    expect(said(week(plots, guarded), { a: 3, b: 10 })).toEqual([])
    expect(said(week(plots, guarded), { a: 3, b: 10, c: 1 })).toEqual(['minimum-short a'])
  })

  it('is reckoned from what is asked for, which the classes have in the order of the rule, and what is carried over', () => {
    const parts: TestPlot['parts'] = [
      { class: 'perennials', needM3: 5, stageRank: null },
      { class: 'market', needM3: 8, stageRank: null },
      { class: 'food', needM3: 6, stageRank: null },
    ]
    const least = (requestedM3: number, more: object = {}) => {
      const markets = [{ class: 'market', place: 2, minimumPart: 0.25 }, classes[0]!] as Rule['classes']
      const inputs = week({ ...plots, a: { needM3: 19, parts, requestedM3 } }, { classes: markets }, more)
      const short = (m3: number) => said(inputs, { a: m3, b: 9 }).includes('minimum-short a')
      return Array.from({ length: 60 }, (_, at) => at / 10).find((m3) => !short(m3 + 0.001))
    }
    // Food has the first 6 of what is asked, half of that as its least; market what is left of it, and 2 of its 8 as its least.
    expect([least(2), least(4), least(7), least(9)]).toEqual([2, 3, 4, 5])
    const carried = (rule: string) => ({ carryOverM3: { a: 0.5 }, choice: { rule } })
    expect([least(2, carried('proportional')), least(7, carried('proportional'))]).toEqual([2.5, 4])
    expect(least(2, carried('evening-out'))).toBe(2)
  })

  it('is no longer short through a protected plot that has more than its own', () => {
    const guarded = rule({ protectedPlots: [{ plotId: 'b', upToStage: null }] })
    expect(said(week(plots, guarded), { a: 3, b: 10.5 })).toEqual(['above-cap b'])
  })
})
