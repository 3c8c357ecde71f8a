import { describe, expect, it } from 'vitest'
import { drinkingClaims, plotClaims } from '../../../domain/rotation/draft/claims.ts'
import { ruleWeek } from '../rule/week.ts'

type Given = Partial<Parameters<typeof ruleWeek>[0]>

/** Needs 8 m3 for market and 6 for food; food is served first and has half as its least, market a quarter. No two figures are alike. */
const week = (more: Given = {}, requestedM3?: number) =>
  ruleWeek({
    rule: {
      classes: [
        { class: 'market', place: 2, minimumPart: 0.25 },
        { class: 'food', place: 1, minimumPart: 0.5 },
      ],
    },
    plots: {
      a: {
        needM3: 14,
        ...(requestedM3 === undefined ? {} : { requestedM3 }),
        parts: [
          { class: 'market', needM3: 8, stageRank: 2 },
          { class: 'food', needM3: 6, stageRank: null },
        ],
      },
    },
    weirs: { weir: 50 },
    drought: { stage: 1, name: 'dry', capByClass: { market: 0.375 } },
    pastWeeks: [{ weekStartOn: '2026-06-01', entitledM3: { a: 6 } }],
    receivedM3: { a: 7.5 },
    ...more,
  })

/** The stage leaves 3 of the 8, so that food has 6 of 9 counted: two thirds of 6 + 9 entitled and of 7.5 received. */
const FOOD = {
  ...{ id: 'a', outletIds: ['outlet-weir'], needM3: 6, entitledM3: 10, receivedM3: 5, tier: 2, minimumM3: 3 },
}
const MARKET = { ...FOOD, id: 'a/2', needM3: 3, entitledM3: 5, receivedM3: 2.5, tier: 3, minimumM3: 2, stageRank: 2 }

describe('the claims of a plot with crops of two classes', () => {
  it('stand in the order of the rule, each with its part of what counts', () => {
    expect(plotClaims(week(), {})).toEqual([FOOD, MARKET])
  })

  it('have no more as their least than the stage leaves, and their own need for the least', () => {
    const least = (market: number) =>
      plotClaims(week({ drought: { stage: 1, name: 'dry', capByClass: { market } } }), {}).map(
        ({ minimumM3, needM3 }) => [minimumM3, needM3],
      )
    expect(least(0.125)).toEqual([
      [3, 6],
      [1, 1],
    ])
    expect(least(0.75)).toEqual([
      [3, 6],
      [2, 6],
    ])
  })

  it('use up the request in that order, and say it only where it is less than the need', () => {
    const asked = (m3: number) => plotClaims(week({}, m3), {}).map((claim) => claim.requestedM3 ?? 'all')
    expect(asked(9)).toEqual(['all', 'all'])
    expect(asked(8.9995)).toEqual(['all', 2.999])
    expect(asked(7)).toEqual(['all', 1])
    expect(asked(6)).toEqual(['all', 0])
    expect(asked(2.5)).toEqual([2.5, 0])
  })

  it('use up the hours in that order, what is carried over to the first before the second', () => {
    const carrying = (hoursM3?: number) =>
      plotClaims(week({ carryOverM3: { a: 1 } }), hoursM3 === undefined ? {} : { a: hoursM3 }).map(
        ({ needM3, carryOverM3 }) => [needM3, carryOverM3 ?? 'none'],
      )
    expect(carrying()).toEqual([
      [6, 1],
      [3, 'none'],
    ])
    expect(carrying(8.25)).toEqual([
      [6, 1],
      [1.25, 'none'],
    ])
    expect(carrying(6.5)).toEqual([
      [6, 0.5],
      [0, 'none'],
    ])
    expect(carrying(6)).toEqual([
      [6, 'none'],
      [0, 'none'],
    ])
    expect(carrying(4)).toEqual([
      [4, 'none'],
      [0, 'none'],
    ])
  })

  it('leave what the season owes to the first where the stage leaves nothing', () => {
    const nothing = week({ drought: { stage: 3, name: 'dry', capByClass: { market: 0, food: 0 } } })
    expect(plotClaims(nothing, {}).map(({ entitledM3, receivedM3 }) => [entitledM3, receivedM3])).toEqual([
      [6, 7.5],
      [0, 0],
    ])
  })
})

describe('the claim of people and animals', () => {
  it('is one of each weir, whole litres, first and as its own least', () => {
    const inputs = ruleWeek({ plots: { a: { needM3: 1 } }, weirs: { w: 10, v: 20 }, drinkingM3: 2.0009 })
    const own = { needM3: 2, entitledM3: 2, receivedM3: 0, tier: 0, minimumM3: 2 }
    expect(drinkingClaims(inputs, (id) => `at-${id}`)).toEqual([
      { id: 'drinking-w', outletIds: ['at-w'], ...own },
      { id: 'drinking-v', outletIds: ['at-v'], ...own },
    ])
  })
})
