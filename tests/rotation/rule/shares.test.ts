import { describe, expect, it } from 'vitest'
import { checkWeek } from '../../../domain/rotation/draft/check.ts'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { NO_MIX, ruleWeek } from './week.ts'

/** Litres are rounded down claim by claim. */
const LITRE = 0.0011

function given(inputs: WeekInputs): Record<string, number> {
  const week = planWeek(inputs)
  expect(checkWeek(inputs, week)).toEqual([])
  return Object.fromEntries(week.shares.map((share) => [share.plotId, share.allocatedM3]))
}

function expectGiven(inputs: WeekInputs, expected: Record<string, number>): void {
  const found = given(inputs)
  for (const [plotId, m3] of Object.entries(expected)) {
    expect(Math.abs(found[plotId]! - m3), `${plotId} gets ${found[plotId]}`).toBeLessThan(LITRE)
  }
}

/** The two plots of the example on the rule page; sums worked by hand. */
const TWO = {
  a: { areaM2: 600, persons: 4, shares: 1, needM3: 40 },
  b: { areaM2: 300, persons: 8, shares: 2, needM3: 20 },
}

describe('30 m3 for a plot of 600 and one of 300 m2', () => {
  it.each([
    ['equal', { equalWeight: 1 }, 15, 15],
    ['area', { areaWeight: 1 }, 20, 10],
    ['half equal, half area', { equalWeight: 50, areaWeight: 50 }, 17.5, 12.5],
    ['area, but no more than 300 m2', { areaWeight: 1, areaCapM2: 300 }, 15, 15],
    ['people, 4 and 8', { personsWeight: 1 }, 10, 20],
    ['shares, 1 and 2', { shareWeight: 1 }, 10, 20],
    ['need, 40 and 20', { needWeight: 1 }, 20, 10],
    ['a third each of area, people and shares', { areaWeight: 1, personsWeight: 1, shareWeight: 1 }, 40 / 3, 50 / 3],
  ])('by %s', (_, mix, a, b) => {
    expectGiven(ruleWeek({ rule: { ...NO_MIX, ...mix }, plots: TWO }), { a, b })
  })

  it('leaves one tenth unbooked as spare water, and gives out 27', () => {
    const inputs = ruleWeek({ rule: { ...NO_MIX, areaWeight: 1, sparePart: 0.1 }, plots: TWO })
    expectGiven(inputs, { a: 18, b: 9 })
  })

  it('counts the water of one weir by a mix of its own', () => {
    const rule = { ...NO_MIX, areaWeight: 1, byWeir: { lower: { ...NO_MIX, equalWeight: 1 } } }
    const plots = { a: { ...TWO.a, needM3: 100 }, b: { ...TWO.b, needM3: 100 } }
    expectGiven(ruleWeek({ rule, plots, weirs: { upper: 30, lower: 30 } }), { a: 20 + 15, b: 10 + 15 })
  })
})

describe('spare water', () => {
  it('is never taken from drinking water', () => {
    const inputs = ruleWeek({
      rule: { sparePart: 0.2 },
      plots: { a: { needM3: 5 } },
      weirs: { weir: 10 },
      drinkingM3: 9.5,
    })
    const week = planWeek(inputs)
    expect(week.drinking[0]!.allocatedM3).toBe(9.5)
    expect(week.shares[0]!.allocatedM3).toBe(0)
    expect(checkWeek(inputs, week)).toEqual([])
  })
})

const five = (one: Record<string, object> = {}) =>
  Object.fromEntries(['school', 'p1', 'p2', 'p3', 'p4'].map((id) => [id, { needM3: 10, ...one[id] }])) as Record<
    string,
    { needM3: number }
  >

describe('the protected list', () => {
  const protect = (upToStage: number | null) => ({ protectedPlots: [{ plotId: 'school', upToStage }] })

  it('keeps the volume of the school when there is water for 60 per cent only', () => {
    expectGiven(ruleWeek({ plots: five() }), { school: 6, p1: 6, p4: 6 })
    expectGiven(ruleWeek({ rule: protect(null), plots: five() }), { school: 10, p1: 5, p2: 5, p3: 5, p4: 5 })
  })

  it('lets go of it in a stage above the chosen one', () => {
    const at = (stage: number) =>
      ruleWeek({ rule: protect(1), plots: five(), drought: { stage, name: 'dry', capByClass: {} } })
    expectGiven(at(1), { school: 10, p1: 5 })
    expectGiven(at(2), { school: 6, p1: 6 })
  })

  it('comes after drinking water and before every minimum', () => {
    const rule = { ...protect(null), classes: [{ class: 'food' as const, place: 1, minimumPart: 1 }] }
    const inputs = ruleWeek({ rule, plots: five(), weirs: { weir: 16 }, drinkingM3: 4 })
    expect(planWeek(inputs).drinking[0]!.allocatedM3).toBe(4)
    expectGiven(inputs, { school: 10, p1: 0.5, p2: 0.5, p3: 0.5, p4: 0.5 })
  })

  it('is not cut by a drought stage that caps its class', () => {
    const drought = { stage: 2, name: 'dry', capByClass: { food: 0.3 } }
    expectGiven(ruleWeek({ rule: protect(null), plots: five(), drought }), { school: 10, p1: 3 })
  })
})

describe('classes in an order', () => {
  const classes = (foodMinimum: number | null, marketMinimum: number | null) => [
    { class: 'food' as const, place: 1, minimumPart: foodMinimum },
    { class: 'market' as const, place: 2, minimumPart: marketMinimum },
  ]
  const plots = { f: { needM3: 20, class: 'food' as const }, m: { needM3: 20, class: 'market' as const } }
  const week = (minimums: [number | null, number | null], m3: number) =>
    ruleWeek({ rule: { classes: classes(...minimums) }, plots, weirs: { weir: m3 } })

  it('serve the first whole before the next where no minimum is set', () => {
    expectGiven(week([null, null], 30), { f: 20, m: 10 })
    expectGiven(week([null, null], 15), { f: 15, m: 0 })
  })

  it('give each its minimum before any gets more', () => {
    // Minimums 10 and 5; the 5 that are left go to food.
    expectGiven(week([0.5, 0.25], 20), { f: 15, m: 5 })
    // Not even the minimums fit: food's comes first.
    expectGiven(week([0.5, 0.25], 12), { f: 10, m: 2 })
  })

  it('are served together where they have the same place', () => {
    const together = classes(null, null).map((one) => ({ ...one, place: 1 }))
    expectGiven(ruleWeek({ rule: { classes: together }, plots }), { f: 15, m: 15 })
  })

  it('split a plot with crops of two classes, so that its nursery is served with the nurseries', () => {
    const parts = [
      { class: 'market' as const, needM3: 18, stageRank: null },
      { class: 'nursery' as const, needM3: 2, stageRank: null },
    ]
    const rule = {
      classes: [
        { class: 'nursery' as const, place: 1, minimumPart: null },
        { class: 'food' as const, place: 2, minimumPart: null },
        { class: 'market' as const, place: 3, minimumPart: null },
      ],
    }
    const inputs = ruleWeek({ rule, plots: { mixed: { needM3: 20, parts }, f: { needM3: 20 } }, weirs: { weir: 12 } })
    expectGiven(inputs, { mixed: 2, f: 10 })
    const mixed = planWeek(inputs).shares.find((share) => share.plotId === 'mixed')!
    expect(mixed.byClass.map((one) => [one.class, one.allocatedM3])).toEqual([
      ['nursery', 2],
      ['market', 0],
    ])
    expect(planWeek(inputs).turns.filter((turn) => turn.plotId === 'mixed')).toHaveLength(1)
  })
})

describe('a declared drought stage', () => {
  it('cuts a class to a part of its need, and says so', () => {
    const inputs = ruleWeek({
      plots: { f: { needM3: 10 }, m: { needM3: 10, class: 'market' } },
      drought: { stage: 2, name: 'dry', capByClass: { market: 0.4 } },
    })
    expectGiven(inputs, { f: 10, m: 4 })
    const market = planWeek(inputs).shares.find((share) => share.plotId === 'm')!
    expect(market).toMatchObject({ needM3: 10, countedM3: 4, heldBy: { kind: 'stage' } })
  })

  it('banks nothing of what it cuts off', () => {
    const drought = { stage: 2, name: 'dry', capByClass: { market: 0.4 } }
    const plots = { f: { needM3: 10 }, m: { needM3: 10, class: 'market' as const } }
    const market = planWeek(ruleWeek({ plots, drought })).shares.find((share) => share.plotId === 'm')!
    expect(market.weekEntitledM3).toBeCloseTo(4, 9)
  })
})
