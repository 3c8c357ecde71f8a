import type { PlotClass } from '../../../domain/people/plot-class.ts'
import type { RuleMix, WeekRule } from '../../../domain/rotation/rule/types.ts'
import type { ClaimPart, WeekClaim, WeekInputs, WeekPlot } from '../../../domain/rotation/week/inputs.ts'

export const WEEK_ON = '2026-06-08'
const DAYS = ['2026-06-08', '2026-06-09', '2026-06-10', '2026-06-11', '2026-06-12', '2026-06-13', '2026-06-14']

export const NO_MIX: RuleMix = {
  equalWeight: 0,
  areaWeight: 0,
  shareWeight: 0,
  personsWeight: 0,
  needWeight: 0,
  areaCapM2: null,
}

export const EQUAL_RULE: WeekRule = {
  ...NO_MIX,
  equalWeight: 1,
  fromOn: '2026-01-01',
  admission: 'crop',
  byWeir: {},
  classes: [],
  declaredOn: null,
  protectedPlots: [],
  sparePart: 0,
  carryOver: { excusedDays: 14, excusedCapPart: null },
}

export interface TestPlot extends Partial<Omit<WeekPlot, 'id'>> {
  needM3: number
  requestedM3?: number
  class?: PlotClass
  parts?: ClaimPart[]
  stageRank?: number
}

/** One weir unless more are given; each weir has a pump and an outlet of its own that carry 10 m3 an hour, ten hours a day. */
export function ruleWeek({
  rule = {},
  plots,
  weirs = { weir: 30 },
  drinkingM3 = 0,
  ...more
}: {
  rule?: Partial<WeekRule>
  plots: Record<string, TestPlot>
  weirs?: Record<string, number>
  drinkingM3?: number
} & Partial<Pick<WeekInputs, 'choice' | 'drought' | 'carryOverM3' | 'receivedM3' | 'pastWeeks'>>): WeekInputs {
  const weirIds = Object.keys(weirs)
  const flow = Array.from({ length: 24 }, (_, hour) => (hour >= 7 && hour < 17 ? 10 : 0))
  return {
    weekStartOn: WEEK_ON,
    days: DAYS,
    rule: { ...EQUAL_RULE, ...rule },
    choice: null,
    drought: null,
    weirs: Object.entries(weirs).map(([id, releasableM3], at) => {
      return { id, number: at + 1, name: id, releasableM3, drinkingM3, working: null, cannotSay: [] }
    }),
    pumps: weirIds.map((weirId, at) => {
      const flowM3PerHByDay = Object.fromEntries(DAYS.map((day) => [day, flow]))
      return { id: `pump-${weirId}`, number: at + 1, name: weirId, weirId, outletsAtOnce: 1, flowM3PerHByDay }
    }),
    outlets: weirIds.map((weirId, at) => {
      return { id: `outlet-${weirId}`, number: at + 1, name: weirId, pumpId: `pump-${weirId}`, flowM3PerH: 10 }
    }),
    plots: Object.entries(plots).map(([id, plot], at) => plotOf(id, at, plot, weirIds)),
    claims: Object.entries(plots).map(([id, plot]) => claimOf(id, plot)),
    notAdmitted: [],
    closures: [],
    pastWeeks: [],
    receivedM3: {},
    carryOverM3: {},
    ...more,
  }
}

function plotOf(id: string, at: number, plot: TestPlot, weirIds: readonly string[]): WeekPlot {
  const { areaM2 = 100, shares = 1, persons = 1, outletIds = weirIds.map((weirId) => `outlet-${weirId}`) } = plot
  return { id, number: at + 1, name: id, holders: [id], areaM2, shares, persons, outletIds }
}

function claimOf(plotId: string, { needM3, requestedM3, parts, ...plot }: TestPlot): WeekClaim {
  const only = { class: plot.class ?? 'food', needM3, stageRank: plot.stageRank ?? null }
  return {
    plotId,
    needM3: { low: needM3, likely: needM3, high: needM3 },
    requestedM3: requestedM3 ?? null,
    latestOn: null,
    parts: parts ?? [only],
  }
}
