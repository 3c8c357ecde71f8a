import { PLOT_CLASSES, type PlotClass } from '../../people/plot-class.ts'
import type { M3 } from '../../units.ts'
import { allocate } from '../allocation/allocate.ts'
import { entitlementMix, type RuleMix, type WeekRule } from '../rule/types.ts'
import { partsOf } from '../share/mix.ts'
import type { WeekInputs, WeekPlot } from '../week/inputs.ts'
import { weekAllocationInput } from './limits.ts'

/** The two plots and the water of the example by which a mix is explained. */
export const EXAMPLE_WATER_M3 = 30
export const EXAMPLE_PLOTS = [
  { id: 'a', areaM2: 600, shares: 1, persons: 4, needM3: 40 },
  { id: 'b', areaM2: 300, shares: 2, persons: 8, needM3: 20 },
] as const
/** Each of the five plots in the example of the classes needs this much. */
export const EXAMPLE_NEED_M3 = 10

/** What a mix gives to each of the example's two plots. */
export function mixExample(mix: RuleMix): Record<'a' | 'b', number> {
  const parts = partsOf({
    plots: EXAMPLE_PLOTS,
    shares: EXAMPLE_PLOTS.map(({ id, shares }) => ({ plotId: id, shares, fromOn: '2000-01-01' })),
    mix: entitlementMix(mix),
    onDate: '2000-01-01',
  })
  return { a: EXAMPLE_WATER_M3 * parts.get('a')!, b: EXAMPLE_WATER_M3 * parts.get('b')! }
}

interface ClassExample {
  rows: { class: PlotClass; givenM3: M3 }[]
  spareM3: M3
}

/**
 * The week of one weir with 30 m3 and five like plots, one of each class, shared by the very steps that share a real week:
 * what order, minimums and spare part come to.
 */
export function classExample(rule: WeekRule): ClassExample {
  const inputs = exampleInputs(rule)
  const { claims } = allocate(weekAllocationInput(inputs, { pumpM3: {}, claimM3: {} }))
  return {
    rows: PLOT_CLASSES.map((each) => ({ class: each, givenM3: claims.find(({ id }) => id === each)!.allocatedM3 })),
    spareM3: EXAMPLE_WATER_M3 * rule.sparePart,
  }
}

function exampleInputs(rule: WeekRule): WeekInputs {
  const on = '2000-01-03'
  const named = { number: 1, name: '' }
  const plots = PLOT_CLASSES.map((id): WeekPlot => {
    return { id, ...named, holders: [], areaM2: 100, shares: 1, persons: 1, outletIds: ['outlet'] }
  })
  const needM3 = { low: EXAMPLE_NEED_M3, likely: EXAMPLE_NEED_M3, high: EXAMPLE_NEED_M3 }
  return {
    weekStartOn: on,
    days: [on],
    rule: { ...rule, byWeir: {}, protectedPlots: [] },
    choice: null,
    drought: null,
    weirs: [{ id: 'weir', ...named, releasableM3: EXAMPLE_WATER_M3, drinkingM3: 0, working: null, cannotSay: [] }],
    pumps: [{ id: 'pump', ...named, weirId: 'weir', outletsAtOnce: 1, flowM3PerHByDay: { [on]: [100] } }],
    outlets: [{ id: 'outlet', ...named, pumpId: 'pump', flowM3PerH: 100 }],
    plots,
    claims: plots.map(({ id }) => ({
      plotId: id,
      needM3,
      requestedM3: null,
      latestOn: null,
      parts: [{ class: id as PlotClass, needM3: EXAMPLE_NEED_M3, stageRank: null }],
    })),
    notAdmitted: [],
    closures: [],
    pastWeeks: [],
    receivedM3: {},
    carryOverM3: {},
  }
}
