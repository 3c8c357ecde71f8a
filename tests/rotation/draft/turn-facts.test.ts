import { describe, expect, it } from 'vitest'
import { wishesNotMet } from '../../../domain/rotation/draft/wishes-not-met.ts'
import { withTurnFacts } from '../../../domain/rotation/draft/with-turn-facts.ts'
import type { PlannedTurn, TimetableAllocation, TimetableInput } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { TurnFacts } from '../../../domain/rotation/week/turn-facts.ts'

const NONE: TurnFacts = {
  pumps: [],
  noTurnHours: [],
  linePositions: {},
  notTogether: [],
  fillingMinutes: {},
  burdens: {},
  officerPlotIds: [],
  changes: [],
}
/** Three outlets of the upper pump, of which a tank feeds the third, and two of the lower one. */
const OUTLETS = [
  { id: 'u1', pumpId: 'upper' },
  { id: 'u2', pumpId: 'upper' },
  { id: 'u3', pumpId: 'upper', tankId: 'tank' },
  { id: 'l1', pumpId: 'lower' },
  { id: 'l2', pumpId: 'lower' },
] as WeekInputs['outlets']
const of = (plotId: string, outletId: string): TimetableAllocation => ({
  ...{ claimId: plotId, plotId, outletId, volumeM3: 1 },
})
const INPUT = {
  allocations: [of('a', 'u1'), of('b', 'u2'), of('b', 'u3'), of('b', 'l1')],
  outlets: OUTLETS,
  together: ['upper', 'lower'].map((pumpId) => ({ pumpId, atMost: 2 })),
} as unknown as TimetableInput

const known = (facts: Partial<TurnFacts>) =>
  withTurnFacts({ turnFacts: { ...NONE, ...facts }, outlets: OUTLETS } as WeekInputs, INPUT)

describe('the work of a week with what is known of people and lines', () => {
  it('is as it was where nothing is', () => {
    expect(withTurnFacts({ outlets: OUTLETS } as WeekInputs, INPUT)).toBe(INPUT)
    expect(known({}).allocations.map((one) => Object.keys(one).toSorted())).toEqual(
      Array(4).fill(['canNot', 'claimId', 'linePosition', 'outletId', 'plotId', 'volumeM3']),
    )
  })

  it('has of each plot its own hours, wishes and place, of each outlet its own filling', () => {
    const hours = (plotId: string, fromHour: number) => ({ plotId, on: '2026-03-02', fromHour, toHour: 20, words: 'x' })
    const { allocations, outlets, history } = known({
      noTurnHours: [hours('a', 7), hours('b', 8), hours('a', 9)],
      wishedHours: [hours('b', 10), hours('c', 11)],
      linePositions: { a: 4, b: 5 },
      fillingMinutes: { u2: 6 },
      burdens: { a: { noon: 3 } },
    })
    const from = (list?: { fromHour?: number }[]) => list?.map(({ fromHour }) => fromHour)
    expect(allocations.map(({ canNot, wished, linePosition }) => [from(canNot), from(wished), linePosition])).toEqual([
      [[7, 9], undefined, 4],
      [[8], [10], 5],
      [[8], [10], 5],
      [[8], [10], 5],
    ])
    expect(allocations[0]!.canNot![0]).toEqual({ on: '2026-03-02', fromHour: 7, toHour: 20 })
    expect(outlets.map(({ fillingMinutes }) => fillingMinutes)).toEqual([0, 6, 0, 0, 0])
    expect(history).toEqual({ a: { noon: 3 } })
  })

  it('has the place on the list of the turn’s own pump, from 0; a gravity turn waits for no name', () => {
    const lists = [
      { pumpId: 'lower', plotIds: ['c', 'd', 'b'] },
      { pumpId: 'upper', plotIds: ['a', 'b'] },
    ]
    const places = (of: TurnFacts['lists']) => known({ lists: of }).allocations.map((one) => one.listPlace ?? 'none')
    expect(places(lists)).toEqual([0, 1, 'none', 2])
    expect(places([{ pumpId: 'upper', plotIds: ['b'] }])).toEqual(['none', 0, 'none', 'none'])
  })

  it('may open any two outlets of a pump together but those that must not meet', () => {
    const { together } = known({
      notTogether: [
        ['u3', 'u1'],
        ['l1', 'u2'],
        ['u2', 'u3'],
      ],
    })
    expect(together).toEqual([
      { pumpId: 'upper', atMost: 2, pairs: [['u1', 'u2']] },
      { pumpId: 'lower', atMost: 2 },
    ])
    expect(known({ notTogether: [['l1', 'u2']] }).together).toEqual(INPUT.together)
  })
})

describe('wishes that are not met', () => {
  const turn = (plotId: string, on: string, hour: number) =>
    ({ plotId, on, startMinute: hour * 60, endMinute: hour * 60 + 90 }) as PlannedTurn
  const [MONDAY, TUESDAY] = ['2026-03-02', '2026-03-03']
  const wish = (plotId: string, fromHour: number, toHour: number, on?: string) => ({
    ...{ plotId, fromHour, toHour },
    ...(on ? { on } : {}),
  })
  const unmet = (wishedHours: TurnFacts['wishedHours'], turns: PlannedTurn[]) =>
    wishesNotMet({ inputs: { turnFacts: { ...NONE, wishedHours } }, turns }).map((one) => [
      one.plotId,
      one.wished.length,
      one.turn && `${one.turn.on} ${one.turn.startMinute / 60}`,
    ])

  it('are those of plots without one whole turn in any of their own hours', () => {
    const turns = [turn('b', MONDAY, 8), turn('a', MONDAY, 12), turn('a', TUESDAY, 7)]
    expect(unmet([wish('a', 7, 8.5), wish('a', 15, 18)], turns)).toEqual([])
    expect(unmet([wish('a', 15, 18), wish('a', 7, 8.5, TUESDAY)], turns)).toEqual([])
    expect(unmet([wish('a', 7, 8.5, MONDAY)], turns)).toEqual([['a', 1, `${MONDAY} 12`]])
    expect(unmet([wish('b', 12, 14), wish('a', 8, 10), wish('b', 7, 9)], turns)).toEqual([
      ['b', 2, `${MONDAY} 8`],
      ['a', 1, `${MONDAY} 12`],
    ])
    expect(unmet([wish('a', 12, 13), wish('c', 0, 24)], turns)).toEqual([
      ['a', 1, `${MONDAY} 12`],
      ['c', 1, null],
    ])
    expect(unmet(undefined, turns)).toEqual([])
  })

  it('are told with the first turn of the week, whatever the order in which turns are given', () => {
    const turns = [turn('a', TUESDAY, 6), turn('a', MONDAY, 13), turn('a', MONDAY, 9)]
    for (const each of [turns, turns.toReversed()])
      expect(unmet([wish('a', 20, 24)], each)).toEqual([['a', 1, `${MONDAY} 9`]])
  })
})
