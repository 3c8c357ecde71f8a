import { describe, expect, it } from 'vitest'
import { carriedOver } from '../../../domain/rotation/rule/carry-over.ts'
import { cropClass, tierOf } from '../../../domain/rotation/rule/classes.ts'
import { type ComparedClaim, inputByRule } from '../../../domain/rotation/rule/compare.ts'
import { hasWeight } from '../../../domain/rotation/rule/types.ts'
import { NO_MIX } from './week.ts'

describe('what a rule makes of crops and claims', () => {
  it('takes for late what was sown after the declared day, and for nothing else', () => {
    const of = (sownOn: string, declaredOn: string | null, more: object = {}) =>
      cropClass({ setClass: null, sownOn, declaredOn, perennial: false, ...more })
    expect(of('2026-05-02', '2026-05-01')).toEqual({ class: 'late', why: 'sown-late' })
    expect(of('2026-05-01', '2026-05-01')).toEqual({ class: 'food', why: 'usual' })
    expect(of('2026-05-02', null)).toEqual({ class: 'food', why: 'usual' })
    expect(of('2026-05-02', '2026-05-01', { perennial: true }).class).toBe('late')
    expect(of('2026-05-01', '2026-05-01', { perennial: true })).toEqual({ class: 'perennials', why: 'perennial' })
    expect(of('2026-05-02', '2026-05-01', { setClass: 'market' })).toEqual({ class: 'market', why: 'set' })
  })

  it('serves a class that it does not name after all that it does', () => {
    const classes = [
      { class: 'market' as const, place: 4, minimumPart: null },
      { class: 'food' as const, place: 2, minimumPart: null },
    ]
    // Drinking is 0 and the protected plots 1.
    expect((['market', 'food', 'late'] as const).map((each) => tierOf(classes, each))).toEqual([5, 3, 6])
    expect(tierOf([], 'food')).toBe(2)
  })

  it('has something to share by where any basis has weight', () => {
    const WEIGHTS = ['equalWeight', 'areaWeight', 'shareWeight', 'personsWeight', 'needWeight'] as const
    expect(hasWeight(NO_MIX)).toBe(false)
    for (const one of WEIGHTS) {
      expect(hasWeight({ ...NO_MIX, [one]: 1 })).toBe(true)
      for (const other of WEIGHTS) expect(hasWeight({ ...NO_MIX, [one]: 2, [other]: 2 })).toBe(true)
    }
  })
})

it('an excused turn may be made good from the week after it to the last of its days', () => {
  const carried = (on: string) =>
    carriedOver({
      missed: [{ on, cause: 'excused', volumeM3: 3 }],
      terms: { excusedDays: 14, excusedCapPart: null },
      weekStartOn: '2026-06-15',
      needM3: 9,
    })
  const none = { carryOverM3: 0, expiresOn: null }
  expect(['2026-06-15', '2026-06-14', '2026-06-01', '2026-05-31'].map(carried)).toEqual([
    none,
    { carryOverM3: 3, expiresOn: '2026-06-28' },
    { carryOverM3: 3, expiresOn: '2026-06-15' },
    none,
  ])
})

describe('the claims of a week by another rule', () => {
  const claim = (id: string, tier: number, more: Partial<ComparedClaim> = {}): ComparedClaim => ({
    ...{ id, outletIds: ['o'], needM3: 10, entitledM3: 7, receivedM3: 3, tier },
    ...more,
  })
  const by = (rule: Parameters<typeof inputByRule>[0], ...claims: ComparedClaim[]) =>
    inputByRule(rule, { weirs: [], pumps: [], outlets: [], claims }).claims

  it('have what is carried over on top of need and request', () => {
    const carried = claim('a', 1, { carryOverM3: 2 })
    const of = (one: ComparedClaim) =>
      by('proportional', one).map(({ needM3, requestedM3, entitledM3, receivedM3 }) => [
        needM3,
        requestedM3 ?? 'all',
        entitledM3,
        receivedM3,
      ])[0]
    expect(of(carried)).toEqual([12, 'all', 12, 0])
    expect(of({ ...carried, requestedM3: 4 })).toEqual([12, 6, 6, 0])
  })

  it('stand in steps of their stage within the tiers of the group', () => {
    const claims = [
      claim('hardy', 1, { stageRank: 3 }),
      claim('tender', 1, { stageRank: 1 }),
      claim('drinking', 0),
      claim('late', 4, { stageRank: 1 }),
      claim('unknown', 1),
      claim('tender too', 1, { stageRank: 1 }),
      claim('late too', 4, { stageRank: 1 }),
    ]
    expect(by('crop-stage-first', ...claims).map(({ id, tier }) => [id, tier])).toEqual([
      ['hardy', 2],
      ['tender', 1],
      ['drinking', 0],
      ['late', 4],
      ['unknown', 3],
      ['tender too', 1],
      ['late too', 4],
    ])
  })
})
