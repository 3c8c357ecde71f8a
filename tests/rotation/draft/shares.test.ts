import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../../domain/random.ts'
import { laidWeek } from '../../../domain/rotation/draft/laid-week.ts'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import { plannedShares } from '../../../domain/rotation/draft/planned-shares.ts'
import { gainsWithWeir } from '../../../domain/rotation/draft/weir-trial.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { runs } from '../../support/runs.ts'
import { ruleWeek } from '../rule/week.ts'

type Held = { kind: string; id?: string }

const FOOD_AND_MARKET = [
  { class: 'food' as const, needM3: 6, stageRank: null },
  { class: 'market' as const, needM3: 4, stageRank: null },
]

/** Plot a with 6 m3 of food and 4 of market, of which the allocation gave 5 and 3; plot b with 20 of food. */
function share({
  held = [{ kind: 'need' }, { kind: 'need' }],
  hoursM3 = {},
  unplaced = [],
  requestedM3,
  ...more
}: {
  held?: [Held, Held]
  hoursM3?: Record<string, number>
  unplaced?: [plotId: string, volumeM3: number][]
  requestedM3?: number
} & Partial<Parameters<typeof ruleWeek>[0]>) {
  const inputs = ruleWeek({
    rule: {
      classes: [
        { class: 'food', place: 1, minimumPart: 0.5 },
        { class: 'market', place: 2, minimumPart: 0.25 },
      ],
      ...more.rule,
    },
    plots: {
      a: { needM3: 10, parts: FOOD_AND_MARKET, ...(requestedM3 === undefined ? {} : { requestedM3 }) },
      b: { needM3: 20 },
    },
    receivedM3: { a: 7 },
    pastWeeks: [{ weekStartOn: '2026-06-01', entitledM3: { a: 10 } }],
    ...{ drought: more.drought ?? null, carryOverM3: more.carryOverM3 ?? {} },
  })
  const claim = (id: string, allocatedM3: number, heldBy: Held) => ({ id, allocatedM3, heldBy, level: 0.77 })
  const claims = [claim('a', 5, held[0]), claim('a/2', 3, held[1]), claim('b', 9, { kind: 'need' })]
  return plannedShares(inputs, {
    allocation: { claims } as never,
    hoursM3,
    unplaced: unplaced.map(([claimId, volumeM3]) => ({ claimId, volumeM3, outletId: 'o', reason: 'pump-full' })),
  })[0]!
}

describe('the line of a plot in a week', () => {
  it('has its classes together, against the season', () => {
    // 30 m3 in equal parts are 15 for each; a is entitled to 10 of its need, and to 10 of the week before; 7 came.
    expect(share({ carryOverM3: { a: 1.5 } })).toEqual({
      ...{ plotId: 'a', needM3: 10, countedM3: 10, requestedM3: null, weekEntitledM3: 10, entitledM3: 20 },
      ...{ receivedM3: 7, carryOverM3: 1.5, allocatedM3: 8, level: 15 / 20, heldBy: { kind: 'need' } },
      isProtected: false,
      byClass: [
        { class: 'food', needM3: 6, countedM3: 6, minimumM3: 3, allocatedM3: 5 },
        { class: 'market', needM3: 4, countedM3: 4, minimumM3: 1, allocatedM3: 3 },
      ],
    })
    const guarded = share({ rule: { protectedPlots: [{ plotId: 'a', upToStage: null }] } })
    expect([guarded.isProtected, ...guarded.byClass.map(({ minimumM3 }) => minimumM3)]).toEqual([true, 0, 0])
  })

  it('has less by what of its own found no hour, never less than nothing, and the hours held it', () => {
    const got = (...unplaced: [string, number][]) => {
      const { allocatedM3, level, heldBy } = share({ unplaced, held: [{ kind: 'weir', id: 'w' }, { kind: 'need' }] })
      return [allocatedM3, level, heldBy.kind]
    }
    expect(got(['a', 1.5], ['b', 4], ['a', 0.25])).toEqual([6.25, 13.25 / 20, 'hours'])
    expect(got(['b', 4])).toEqual([8, 15 / 20, 'weir'])
    expect(got(['a', 9])).toEqual([0, 7 / 20, 'hours'])
  })

  it('is held by the first limit of the network on one of its classes', () => {
    const by = (...held: [Held, Held]) => share({ held, hoursM3: { a: 8 } }).heldBy
    const [need, request, weir, pump] = [
      { kind: 'need' },
      { kind: 'request' },
      { kind: 'weir', id: 'w' },
      { kind: 'pump', id: 'p' },
    ]
    expect(by(need, weir)).toEqual(weir)
    expect(by(request, pump)).toEqual(pump)
    expect(by(weir, pump)).toEqual(weir)
    // Without one, by the hours, where those were what the need of a class was cut to.
    expect([by(need, need), by(need, request), by(request, need)]).toEqual(Array(3).fill({ kind: 'hours' }))
  })

  it('is else held by its request where that is less than what counts, by the stage, or by its need', () => {
    const held = (requestedM3: number | undefined, cap?: number) =>
      share({
        ...(requestedM3 === undefined ? {} : { requestedM3 }),
        held: [{ kind: 'request' }, { kind: 'need' }],
        hoursM3: { b: 9 },
        drought: cap === undefined ? null : { stage: 1, name: 'dry', capByClass: { market: cap } },
      }).heldBy.kind
    expect([held(undefined), held(10), held(9.999)]).toEqual(['need', 'need', 'request'])
    expect([held(undefined, 0.5), held(8, 0.5), held(7.999, 0.5)]).toEqual(['stage', 'stage', 'request'])
    expect(held(undefined, 1)).toBe('need')
  })

  it('has the level of its allocation where nothing is due', () => {
    const inputs = ruleWeek({ plots: { a: { needM3: 4 } }, weirs: { weir: 0 } })
    const claims = [{ id: 'a', allocatedM3: 1, heldBy: { kind: 'need' }, level: 0.25 }]
    const [line] = plannedShares(inputs, { allocation: { claims } as never, hoursM3: {}, unplaced: [] })
    expect([line!.entitledM3, line!.level]).toEqual([0, 0.25])
  })
})

/** One or two days on which each of two pumps runs for an hour or two, and small plots that may be too many for that. */
function crowdedWeek(seed: number): WeekInputs {
  const random = seededRandom(seed)
  const plots = Object.fromEntries(
    Array.from({ length: 2 + Math.floor(random() * 5) }, (_, at) => [
      `p${at}`,
      { needM3: Math.round(random() * 3000) / 1000, outletIds: [random() < 0.5 ? 'outlet-upper' : 'outlet-lower'] },
    ]),
  )
  const base = ruleWeek({ plots, weirs: { upper: 20, lower: 30 }, drinkingM3: 1 })
  const days = base.days.slice(0, 1 + Math.floor(random() * 2))
  const hours = () => {
    const flow = 0.5 + Math.round(random() * 3000) / 1000
    const isLong = random() < 0.5
    return Array.from({ length: 24 }, (_, hour) => (hour === 8 || (hour === 12 && isLong) ? flow : 0))
  }
  const flowOf = () => Object.fromEntries(days.map((day) => [day, hours()]))
  return { ...base, days, pumps: base.pumps.map((pump) => ({ ...pump, flowM3PerHByDay: flowOf() })) }
}

it('what a weir may give is drunk, carried by turns or left in the sand, to the litre, and a plot has what its turns bring', () => {
  fc.assert(
    fc.property(fc.integer(), (seed) => {
      const inputs = crowdedWeek(seed)
      const { turns, drinking, leftM3ByWeir, shares } = planWeek(inputs)
      const litresOf = (own: typeof turns) => own.reduce((sum, { volumeM3 }) => sum + Math.round(volumeM3 * 1000), 0)
      for (const { id, releasableM3 } of inputs.weirs) {
        const carried = litresOf(turns.filter(({ pumpId }) => pumpId === `pump-${id}`))
        const drunkM3 = drinking.find(({ weirId }) => weirId === id)!.allocatedM3
        expect(carried + (drunkM3 + leftM3ByWeir[id]!) * 1000).toBeCloseTo(releasableM3 * 1000, 6)
      }
      for (const { plotId, allocatedM3 } of shares)
        expect(allocatedM3 * 1000).toBeCloseTo(litresOf(turns.filter((turn) => turn.plotId === plotId)), 6)
    }),
    runs(20),
  )
})

it('plots that share a dry weir are held by it, not by one another', () => {
  const at = (weir: string) => ({ needM3: 20, outletIds: [`outlet-${weir}`] })
  const plots = { a: at('upper'), b: at('lower'), c: at('upper') }
  const { shares } = planWeek(ruleWeek({ plots, weirs: { upper: 9, lower: 12 } }))
  expect(shares.map(({ allocatedM3, heldBy }) => [allocatedM3, heldBy])).toEqual([
    [4.5, { kind: 'weir', id: 'upper' }],
    [12, { kind: 'weir', id: 'lower' }],
    [4.5, { kind: 'weir', id: 'upper' }],
  ])
})

describe('a weir opened on trial', () => {
  /** Plot a wants 20 for two classes of a weir of 12, and b all that it needs there; c wants 40 of a weir of its own, for which its holder has half an hour of 10 m3/h. */
  const base = ruleWeek({
    plots: {
      a: {
        needM3: 20,
        parts: FOOD_AND_MARKET.map((part, at) => ({ ...part, needM3: 5 + 10 * at })),
        outletIds: ['outlet-upper'],
      },
      b: { needM3: 2, outletIds: ['outlet-upper'] },
      c: { needM3: 40, outletIds: ['outlet-lower'] },
    },
    weirs: { upper: 12, lower: 30 },
  })
  const noTurnHours = base.days.map((on, day) => ({
    ...{ plotId: 'c', on, toHour: 24, words: '' },
    fromHour: day === 0 ? 7.5 : 0,
  }))
  const facts = { pumps: [], linePositions: {}, notTogether: [], fillingMinutes: {}, burdens: {}, officerPlotIds: [] }
  const inputs: WeekInputs = { ...base, turnFacts: { ...facts, noTurnHours, changes: [] } }
  const gains = gainsWithWeir(inputs, {
    laid: laidWeek(inputs),
    known: new Map(),
    opened: (weirId, releasableM3) => ({
      ...inputs,
      weirs: inputs.weirs.map((weir) => (weir.id === weirId ? { ...weir, releasableM3 } : weir)),
    }),
  })

  it('brings more to who had too little of it, through whichever of its claims', () => {
    expect([gains('upper', 90, 'a'), gains('upper', 90, 'a/2')]).toEqual([true, true])
  })

  it('brings no more to who has all, who is elsewhere, or whose hours are full', () => {
    expect([gains('upper', 90, 'b'), gains('upper', 90, 'c'), gains('lower', 90, 'c')]).toEqual([false, false, false])
  })
})
