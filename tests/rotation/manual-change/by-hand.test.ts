import { describe, expect, it } from 'vitest'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import { waterByOneName, withManualChanges, withoutSecondName } from '../../../domain/rotation/manual-change/week.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { ManualChange } from '../../../domain/rotation/week/manual-change.ts'
import type { TurnFacts } from '../../../domain/rotation/week/turn-facts.ts'
import { ruleWeek } from '../rule/week.ts'

const [MONDAY, TUESDAY, SUNDAY] = ['2026-06-08', '2026-06-09', '2026-06-14']
const FACTS: TurnFacts = {
  ...{ pumps: [], noTurnHours: [], linePositions: {}, notTogether: [], fillingMinutes: {}, burdens: {} },
  ...{ officerPlotIds: [], changes: [] },
}
const change = (id: string, kind: ManualChange['kind'], plotId: string, more: Partial<ManualChange> = {}) =>
  ({
    ...{ id, kind, plotId, outletId: plotId === 'c' ? 'outlet-lower' : 'outlet-upper' },
    ...{ wasOn: kind === 'add' ? null : MONDAY, on: null, startMinute: null, volumeM3: null },
    ...{ byName: 'Amaru', byId: 'amaru', at: '', reason: 'why', approvedByName: 'Besi' },
    ...more,
  }) as ManualChange

/** Pumps of 10 m3/h from 7 to 17. Of the upper weir a takes 5 m3 and b 8 of 30, of the lower c takes 4 of 20; d asked for nothing there. */
function handed(changes: ManualChange[], { officers = [] as string[], more = {} as Partial<WeekInputs> } = {}) {
  const at = (weir: string, needM3: number) => ({ needM3, outletIds: [`outlet-${weir}`] })
  const base = ruleWeek({
    plots: { a: at('upper', 5), b: at('upper', 8), c: at('lower', 4), d: at('upper', 0) },
    weirs: { upper: 30, lower: 20 },
    receivedM3: { a: 2 },
    pastWeeks: [{ weekStartOn: '2026-06-01', entitledM3: { a: 5 } }],
  })
  const inputs = { ...base, ...more, turnFacts: { ...FACTS, officerPlotIds: officers, changes } }
  return { inputs, week: withManualChanges(inputs, planWeek(inputs)) }
}
const turnsOf = ({ week }: ReturnType<typeof handed>) =>
  Object.fromEntries(
    week.turns.map(({ plotId, on, startMinute, volumeM3 }) => [`${plotId} ${on} ${startMinute}`, volumeM3]),
  )
const PLANNED = { [`a ${MONDAY} 420`]: 5, [`b ${MONDAY} 455`]: 8, [`c ${MONDAY} 420`]: 4 }

describe('a week under the committee’s hand', () => {
  it('is as it was reckoned without one', () => {
    const { inputs } = handed([])
    const planned = planWeek(inputs)
    expect(withManualChanges(inputs, planned)).toBe(planned)
    expect(planned.leftM3ByWeir).toEqual({ upper: 17, lower: 16 })
    expect(Object.values(turnsOf({ inputs, week: planned })).toSorted()).toEqual(Object.values(PLANNED).toSorted())
  })

  it('loses a turn, gains one, has one elsewhere, longer or shorter; shares and what is left follow', () => {
    const one = handed([
      change('1', 'drop', 'b'),
      change('2', 'add', 'd', { on: TUESDAY, startMinute: 600, volumeM3: 2.5 }),
      change('3', 'lengthen', 'a', { volumeM3: 6 }),
      change('4', 'move', 'c', { on: TUESDAY, startMinute: 700 }),
    ])
    const { hand, leftM3ByWeir, shares } = one.week
    expect(one.week.turns.map(({ plotId, on, volumeM3 }) => [plotId, on, volumeM3])).toEqual([
      ['a', MONDAY, 6],
      ['d', TUESDAY, 2.5],
      ['c', TUESDAY, 4],
    ])
    expect(hand!.applied.map(({ changeId, turnId }) => [changeId, turnId])).toEqual([
      ['1', null],
      ['2', `d/outlet-upper/${TUESDAY}`],
      ['3', `a/outlet-upper/${MONDAY}`],
      ['4', `c/outlet-lower/${TUESDAY}`],
    ])
    expect(hand!.refused).toEqual([])
    expect(hand!.changedPlotIds).toEqual(['a', 'b', 'd'])
    // 13 of the upper weir's 30 were given, now 8.5; a is entitled to 5 twice, had 2 and has 6; nothing is due to d.
    expect(leftM3ByWeir).toEqual({ upper: 21.5, lower: 16 })
    expect(shares.map(({ plotId, allocatedM3, level }) => [plotId, allocatedM3, level])).toEqual([
      ['a', 6, 0.8],
      ['b', 0, 0],
      ['c', 4, 1],
      ['d', 2.5, null],
    ])
    expect([hand!.reckoned.leftM3ByWeir, hand!.reckoned.turns.length]).toEqual([{ upper: 17, lower: 16 }, 3])
  })

  it('is told why a change can not be, and keeps the others', () => {
    const { week } = handed([
      change('gone', 'move', 'a', { wasOn: TUESDAY, on: SUNDAY, startMinute: 600 }),
      change('none', 'drop', 'd'),
      change('when', 'move', 'a', { on: '2026-06-15', startMinute: 600 }),
      change('where', 'add', 'a', { outletId: 'outlet-far', on: MONDAY, startMinute: 600, volumeM3: 1 }),
      change('there', 'add', 'b', { on: MONDAY, startMinute: 900, volumeM3: 1 }),
      change('much', 'lengthen', 'a', { volumeM3: 500 }),
      change('fine', 'add', 'b', { on: TUESDAY, startMinute: 900, volumeM3: 1 }),
      change('other', 'add', 'd', { on: TUESDAY, startMinute: 600, volumeM3: 1 }),
    ])
    expect(week.hand!.refused).toEqual([
      { changeId: 'gone', reason: 'no-such-turn' },
      { changeId: 'none', reason: 'no-such-turn' },
      { changeId: 'when', reason: 'not-in-week' },
      { changeId: 'where', reason: 'not-in-week' },
      { changeId: 'there', reason: 'turn-there-already' },
      { changeId: 'much', reason: 'beyond-flow' },
    ])
    expect(week.hand!.applied.map(({ changeId }) => changeId)).toEqual(['fine', 'other'])
  })

  it('is warned of a weir that gives more than it may, from the first litre, and not of one that the hand left alone', () => {
    const beyond = (volumeM3: number) =>
      handed([change('1', 'add', 'd', { on: TUESDAY, startMinute: 420, volumeM3 })]).week.hand!.warnings.filter(
        ({ code }) => code === 'weir-beyond-release',
      )
    expect(beyond(17)).toEqual([])
    expect(beyond(17.001)).toEqual([
      { code: 'weir-beyond-release', values: { weirId: 'upper', beyondM3: expect.closeTo(0.001, 9) } },
    ])
    const { inputs } = handed([change('1', 'add', 'd', { on: TUESDAY, startMinute: 420, volumeM3: 1 })])
    const week = planWeek(inputs)
    const short = withManualChanges(inputs, { ...week, leftM3ByWeir: { upper: 5, lower: -2 } })
    expect(short.hand!.warnings.filter(({ code }) => code === 'weir-beyond-release')).toEqual([])
  })

  it('says of the first turn of each plot at an outlet that it comes after the latest day, and keeps what else was said', () => {
    const { inputs } = handed([
      change('1', 'add', 'b', { on: SUNDAY, startMinute: 600, volumeM3: 1 }),
      change('2', 'add', 'd', { on: TUESDAY, startMinute: 600, volumeM3: 1 }),
      change('3', 'add', 'd', { on: SUNDAY, startMinute: 600, volumeM3: 1, outletId: 'outlet-lower' }),
    ])
    const late = (latestOn: Record<string, string>, notes: ReturnType<typeof planWeek>['notes'] = []) => {
      const claims = inputs.claims.map((claim) => ({ ...claim, latestOn: latestOn[claim.plotId] ?? null }))
      const week = { ...planWeek(inputs), notes }
      return withManualChanges({ ...inputs, claims }, week).notes.map((note) =>
        note.code === 'after-latest-day' ? note.turnId : note.code,
      )
    }
    expect(late({ b: MONDAY })).toEqual([])
    expect(late({ a: '2026-06-07', b: '2026-06-07' })).toEqual([`a/outlet-upper/${MONDAY}`, `b/outlet-upper/${MONDAY}`])
    expect(late({ d: MONDAY })).toEqual([`d/outlet-upper/${TUESDAY}`, `d/outlet-lower/${SUNDAY}`])
    expect(
      late({}, [
        { code: 'after-latest-day', turnId: 'old' },
        { code: 'tail-after-head', pumpId: 'p' },
      ]),
    ).toEqual(['tail-after-head'])
  })
})

describe('the names under changes by hand', () => {
  const alone = { approvedByName: null }
  const changes = [
    change('1', 'lengthen', 'a', { volumeM3: 6, ...alone }),
    change('2', 'lengthen', 'b', { volumeM3: 7 }),
    change('3', 'move', 'c', { on: TUESDAY, startMinute: 700, ...alone }),
    change('4', 'add', 'd', { on: TUESDAY, startMinute: 600, volumeM3: 500, ...alone }),
    change('5', 'drop', 'a', { wasOn: TUESDAY, ...alone }),
  ]
  const named = (officers: string[]) => {
    const { inputs, week } = handed(changes, { officers })
    return [withoutSecondName(inputs, week), waterByOneName(inputs, week)].map((list) => list.map(({ id }) => id))
  }

  it('want a second one on an officer’s turn, and another who publishes where one alone gives more or less water', () => {
    expect(named([])).toEqual([[], ['1']])
    expect(named(['a'])).toEqual([['1'], []])
    expect(named(['a', 'b', 'c', 'd'])).toEqual([['1', '3'], []])
    expect(named(['b', 'd'])).toEqual([[], ['1']])
  })
})
