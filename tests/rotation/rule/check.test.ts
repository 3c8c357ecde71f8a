import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { PLOT_CLASSES } from '../../../domain/people/plot-class.ts'
import { checkWeek } from '../../../domain/rotation/draft/check.ts'
import { checkRule } from '../../../domain/rotation/draft/check-rule.ts'
import { comparedWeek } from '../../../domain/rotation/draft/compare-week.ts'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import { RULE_NAMES } from '../../../domain/rotation/rule/compare.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { PlannedWeek } from '../../../domain/rotation/week/planned-week.ts'
import { runs } from '../../support/runs.ts'
import { NO_MIX, ruleWeek, type TestPlot } from './week.ts'

const m3 = (max: number) => fc.integer({ min: 0, max: max * 1000 }).map((litres) => litres / 1000)
const aPart = fc.constantFrom(0.1, 0.25, 0.5, 1)
const aClass = fc.constantFrom(...PLOT_CLASSES)
const somePlots = fc
  .array(
    fc.record({
      areaM2: fc.integer({ min: 10, max: 900 }),
      persons: fc.integer({ min: 1, max: 12 }),
      parts: fc.uniqueArray(fc.record({ class: aClass, needM3: m3(20), stageRank: fc.constantFrom(1, 2, 3, null) }), {
        minLength: 1,
        maxLength: 3,
        selector: (part) => part.class,
      }),
      asks: fc.option(m3(15)),
      outlets: fc.constantFrom<string[]>(['outlet-upper'], ['outlet-lower'], ['outlet-upper', 'outlet-lower']),
    }),
    { minLength: 1, maxLength: 10 },
  )
  .map((plots) =>
    Object.fromEntries(
      plots.map(({ asks, outlets, parts, ...plot }, at): [string, TestPlot] => [
        `p${at}`,
        {
          ...plot,
          parts,
          needM3: parts.reduce((sum, part) => sum + part.needM3, 0),
          outletIds: outlets,
          ...(asks === null ? {} : { requestedM3: asks }),
        },
      ]),
    ),
  )

const someWeek = fc
  .record({
    plots: somePlots,
    weirs: fc.record({ upper: m3(60), lower: m3(60) }),
    drinkingM3: m3(4),
    classes: fc.tuple(
      ...PLOT_CLASSES.map(() => fc.record({ place: fc.integer({ min: 1, max: 3 }), least: fc.option(aPart) })),
    ),
    sparePart: fc.constantFrom(0, 0.1, 0.2),
    guarded: fc.boolean(),
    cap: fc.option(aPart),
    rule: fc.option(fc.constantFrom(...RULE_NAMES)),
    carried: m3(3),
  })
  .map(
    ({ classes, sparePart, guarded, cap, rule, carried, ...week }): WeekInputs =>
      ruleWeek({
        ...week,
        rule: {
          ...NO_MIX,
          areaWeight: 1,
          personsWeight: 2,
          needWeight: 1,
          sparePart,
          classes: PLOT_CLASSES.map((each, at) => ({
            class: each,
            place: classes[at]!.place,
            minimumPart: classes[at]!.least,
          })),
          protectedPlots: guarded ? [{ plotId: 'p0', upToStage: 1 }] : [],
        },
        drought: cap === null ? null : { stage: 1, name: 'dry', capByClass: { market: cap, late: cap } },
        choice: rule === null ? null : { rule, reason: 'tried', chosenBy: 'Ada', chosenAt: '2026-06-05T10:00:00Z' },
        carryOverM3: { p0: carried },
      }),
  )

describe('whatever the rule says', () => {
  it('the judges find nothing against a week that was planned by it, under each of the four ways', () => {
    fc.assert(
      fc.property(someWeek, (inputs) => {
        expect(checkWeek(inputs, planWeek(inputs))).toEqual([])
      }),
      runs(80),
    )
  })

  it('four rules side by side add up to what is available, and their differences to what carry-over adds', () => {
    fc.assert(
      fc.property(someWeek, (inputs) => {
        const week = comparedWeek(inputs)
        for (const rule of RULE_NAMES) {
          const litres = (value: number) => Math.round(value * 1000)
          expect(litres(week.totalM3[rule]) + litres(week.drinkingM3[rule]) + litres(week.leftM3[rule])).toBe(
            litres(week.availableM3),
          )
          const rows = week.rows.reduce((sum, row) => sum + litres(row.allocatedM3[rule]), 0)
          expect(rows).toBe(litres(week.totalM3[rule]))
        }
      }),
      runs(100),
    )
  })

  it('the order in which plots are written in changes nothing', () => {
    fc.assert(
      fc.property(someWeek, (inputs) => {
        const turned = { ...inputs, plots: [...inputs.plots].reverse(), claims: [...inputs.claims].reverse() }
        const byPlot = (week: PlannedWeek) =>
          Object.fromEntries(week.shares.map((share) => [share.plotId, share.allocatedM3]))
        expect(byPlot(planWeek(turned))).toEqual(byPlot(planWeek(inputs)))
      }),
      runs(25),
    )
  })
})

describe('the judge of the rule', () => {
  const inputs = ruleWeek({
    rule: {
      classes: [{ class: 'food', place: 1, minimumPart: 0.5 }],
      protectedPlots: [{ plotId: 'school', upToStage: null }],
      sparePart: 0.1,
    },
    plots: { school: { needM3: 8 }, f: { needM3: 12 }, m: { needM3: 12, class: 'market' } },
    drinkingM3: 3,
    drought: { stage: 1, name: 'dry', capByClass: { market: 0.5 } },
  })
  const codes = (changes: Record<string, number>) =>
    checkRule(inputs, tampered(planWeek(inputs), changes)).map((one) => one.code)

  it('finds nothing in the week as planned', () => {
    expect(codes({})).toEqual([])
  })

  it.each([
    ['drinking water cut while plots draw', { 'drinking-weir': -1 }, 'drinking-short'],
    ['the spare part given out', { f: 3 }, 'spare-booked'],
    ['a class above the cap of the stage', { m: 3 }, 'above-cap'],
    ['a protected plot cut for another', { school: -2 }, 'protected-short'],
    ['a plot below its minimum while others have more than theirs', { f: -7 }, 'minimum-short'],
  ])('objects to %s', (_, changes, code) => {
    expect(codes(changes)).toContain(code)
  })
})

/** A week with cubic metres put on or taken off by hand. */
function tampered(week: PlannedWeek, changes: Record<string, number>): PlannedWeek {
  const claims = week.allocation.claims.map((claim) => {
    const by = changes[claim.id] ?? 0
    const [outletId = 'outlet-weir'] = Object.keys(claim.byOutletM3)
    const byOutletM3 = { ...claim.byOutletM3, [outletId]: (claim.byOutletM3[outletId] ?? 0) + by }
    return { ...claim, allocatedM3: claim.allocatedM3 + by, byOutletM3 }
  })
  return { ...week, allocation: { ...week.allocation, claims } }
}
