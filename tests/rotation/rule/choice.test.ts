import { describe, expect, it } from 'vitest'
import { comparedWeek } from '../../../domain/rotation/draft/compare-week.ts'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import { classExample, mixExample } from '../../../domain/rotation/draft/rule-example.ts'
import { carriedOver } from '../../../domain/rotation/rule/carry-over.ts'
import { cropClass } from '../../../domain/rotation/rule/classes.ts'
import { RULE_NAMES, type RuleName } from '../../../domain/rotation/rule/compare.ts'
import { EQUAL_RULE, NO_MIX, ruleWeek } from './week.ts'

/** 24 m3 for requests of 6, 12 and 18 (36 together); worked by hand. */
const ASKED = {
  a: { needM3: 6, stageRank: 3 },
  b: { needM3: 12, stageRank: 2 },
  c: { needM3: 18, stageRank: 1 },
}

describe('24 m3 for needs of 6, 12 and 18', () => {
  it.each([
    // Two thirds of every request.
    ['proportional', { a: 4, b: 8, c: 12 }],
    // 8 each would do, a needs but 6; the other 18 make 9 each.
    ['equal-small-first', { a: 6, b: 9, c: 9 }],
    // All of c, then half of b.
    ['crop-stage-first', { a: 0, b: 6, c: 18 }],
    // Parts of 8 each: a is entitled to 6, its need, the others to 8; the level rises to 24/22 but a's need stops it at 1.
    ['evening-out', { a: 6, b: 9, c: 9 }],
  ] as [RuleName, Record<string, number>][])('%s', (rule, expected) => {
    const inputs = ruleWeek({ plots: ASKED, weirs: { weir: 24 } })
    const { rows, totalM3 } = comparedWeek(inputs)
    for (const row of rows) expect(Math.abs(row.allocatedM3[rule] - expected[row.plotId]!)).toBeLessThan(0.0011)
    expect(Math.abs(totalM3[rule] - 24)).toBeLessThan(0.004)
    const choice = { rule, reason: 'tried', chosenBy: 'Ada', chosenAt: '' }
    const shares = planWeek({ ...inputs, choice }).shares
    for (const share of shares) expect(Math.abs(share.allocatedM3 - expected[share.plotId]!)).toBeLessThan(0.0011)
  })

  it('shows for each name how much more or less than by evening out', () => {
    const { rows } = comparedWeek(ruleWeek({ plots: ASKED, weirs: { weir: 24 } }))
    const differences = Object.fromEntries(rows.map((row) => [row.plotId, row.differenceM3]))
    expect(differences.c).toMatchObject({
      'evening-out': 0,
      proportional: 3,
      'equal-small-first': 0,
      'crop-stage-first': 9,
    })
    for (const rule of RULE_NAMES) {
      expect(rows.reduce((sum, row) => sum + row.differenceM3[rule], 0)).toBeCloseTo(0, 2)
    }
  })
})

describe('carry-over', () => {
  const missed = { on: '2026-06-03', volumeM3: 4 }
  const week = { weekStartOn: '2026-06-08', needM3: 10, terms: { excusedDays: 14, excusedCapPart: null } }

  it('counts for an excused turn only, once, within its days, and names the last day', () => {
    const of = (cause: 'excused' | 'no-show' | 'breakdown') => carriedOver({ ...week, missed: [{ ...missed, cause }] })
    expect(of('excused')).toEqual({ carryOverM3: 4, expiresOn: '2026-06-17' })
    expect(of('no-show')).toEqual({ carryOverM3: 0, expiresOn: null })
    expect(of('breakdown')).toEqual({ carryOverM3: 0, expiresOn: null })
  })

  it('expires', () => {
    const excused = [{ ...missed, cause: 'excused' as const }]
    const at = (excusedDays: number) =>
      carriedOver({ ...week, missed: excused, terms: { excusedDays, excusedCapPart: null } }).carryOverM3
    expect(at(5)).toBe(4)
    expect(at(4)).toBe(0)
    expect(at(0)).toBe(0)
  })

  it('keeps to its cap', () => {
    const terms = { excusedDays: 14, excusedCapPart: 0.25 }
    expect(carriedOver({ ...week, terms, missed: [{ ...missed, cause: 'excused' }] }).carryOverM3).toBe(2.5)
  })

  it('is added to a claim under rules that look at one week alone, and not under evening-out', () => {
    const inputs = ruleWeek({ plots: { a: { needM3: 10 }, b: { needM3: 10 } }, carryOverM3: { a: 4 } })
    const { rows } = comparedWeek(inputs)
    const a = rows.find((row) => row.plotId === 'a')!
    expect(a.allocatedM3['evening-out']).toBe(10)
    expect(a.allocatedM3.proportional).toBe(14)
    expect(a.allocatedM3['equal-small-first']).toBe(14)
  })
})

describe('the class of a crop', () => {
  const plain = { setClass: null, sownOn: '2026-05-20', declaredOn: null, perennial: false }

  it('follows from what the group wrote, then from its sowing, then from its kind', () => {
    expect(cropClass(plain)).toEqual({ class: 'food', why: 'usual' })
    expect(cropClass({ ...plain, perennial: true })).toEqual({ class: 'perennials', why: 'perennial' })
    expect(cropClass({ ...plain, declaredOn: '2026-05-20' })).toEqual({ class: 'food', why: 'usual' })
    expect(cropClass({ ...plain, declaredOn: '2026-05-19' })).toEqual({ class: 'late', why: 'sown-late' })
    expect(cropClass({ ...plain, declaredOn: '2026-05-19', setClass: 'nursery' })).toEqual({
      class: 'nursery',
      why: 'set',
    })
  })
})

describe('the worked examples of the rule page', () => {
  it('share 30 m3 by the rule itself', () => {
    expect(mixExample({ ...NO_MIX, areaWeight: 1 }).a).toBeCloseTo(20, 9)
    const persons = mixExample({ ...NO_MIX, personsWeight: 1 })
    expect([persons.a, persons.b].map((m3) => Math.round(m3 * 1e6) / 1e6)).toEqual([10, 20])
  })

  it('show what order, minimum and spare come to for five like plots that need 10 m3 each', () => {
    const classes = [
      { class: 'nursery' as const, place: 1, minimumPart: null },
      { class: 'perennials' as const, place: 2, minimumPart: null },
      { class: 'food' as const, place: 2, minimumPart: 0.3 },
      { class: 'market' as const, place: 3, minimumPart: null },
      { class: 'late' as const, place: 4, minimumPart: null },
    ]
    // 27 m3: food's least 3, then nursery 10, then 14 for perennials and the rest of food: 8.5 each in all.
    const { rows, spareM3 } = classExample({ ...EQUAL_RULE, classes, sparePart: 0.1 })
    expect(spareM3).toBeCloseTo(3, 9)
    expect(rows.map((row) => row.givenM3)).toEqual([10, 8.5, 8.5, 0, 0])
  })
})
