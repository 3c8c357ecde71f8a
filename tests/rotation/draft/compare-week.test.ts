import { expect, it } from 'vitest'
import { comparedWeek } from '../../../domain/rotation/draft/compare-week.ts'
import { RULE_NAMES } from '../../../domain/rotation/rule/compare.ts'
import { ruleWeek } from '../rule/week.ts'

/** A tenth of 30 and of 10 is spare: 27 and 9 are there, of each of which 4 is drunk. Plot a has its 10, plot b what is left below. */
it('tells of each rule what plots and people have, and what is left of what may be given', () => {
  const inputs = ruleWeek({
    rule: { sparePart: 0.1 },
    plots: { a: { needM3: 10, outletIds: ['outlet-upper'] }, b: { needM3: 50, outletIds: ['outlet-lower'] } },
    weirs: { upper: 30, lower: 10 },
    drinkingM3: 4,
  })
  const { rows, totalM3, drinkingM3, availableM3, leftM3 } = comparedWeek(inputs)
  const inAll = (m3: number) => Object.fromEntries(RULE_NAMES.map((rule) => [rule, m3]))
  expect(rows.map(({ plotId, allocatedM3 }) => [plotId, allocatedM3])).toEqual([
    ['a', inAll(10)],
    ['b', inAll(5)],
  ])
  expect({ totalM3, drinkingM3, availableM3, leftM3 }).toEqual({
    totalM3: inAll(15),
    drinkingM3: inAll(8),
    availableM3: 36,
    leftM3: inAll(13),
  })
})

it('tells how much more or less than by evening out each plot has', () => {
  // Of 30 m3 the level gives a, who is owed 10 of an earlier week, 20 and b 10; by the week alone both have 15.
  const inputs = ruleWeek({
    plots: { a: { needM3: 30 }, b: { needM3: 30 } },
    pastWeeks: [{ weekStartOn: '2026-06-01', entitledM3: { a: 10, b: 10 } }],
    receivedM3: { b: 10 },
  })
  const { rows } = comparedWeek(inputs)
  expect(rows.map(({ differenceM3 }) => RULE_NAMES.map((rule) => differenceM3[rule]))).toEqual([
    [0, -5, -5, -5],
    [0, 5, 5, 5],
  ])
})
