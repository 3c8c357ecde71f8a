import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { type M3, wholeLitres } from '../../units.ts'
import { compareRules, RULE_NAMES, type RuleName } from '../rule/compare.ts'
import type { WeekInputs } from '../week/inputs.ts'
import { plotOfClaim } from './claims.ts'
import { seasonAllocationInput } from './limits.ts'

interface ComparedPlot {
  plotId: Id<'plot'>
  needM3: M3
  requestedM3: M3 | null
  allocatedM3: Record<RuleName, number>
  /** More (+) or less (-) than by evening-out. */
  differenceM3: Record<RuleName, number>
}

interface ComparedWeek {
  rows: ComparedPlot[]
  /** To all plots, and to drinking water, by each rule. */
  totalM3: Record<RuleName, number>
  drinkingM3: Record<RuleName, number>
  /** What all weirs together may give, the spare part taken off. */
  availableM3: M3
  leftM3: Record<RuleName, number>
}

/** A week under every rule, plot by plot; before the hours are looked at, so that only the rules differ. */
export function comparedWeek(inputs: WeekInputs): ComparedWeek {
  const input = seasonAllocationInput(inputs, { pumpM3: {}, claimM3: {} })
  const { rules } = compareRules(input)
  const litresTo = (rule: RuleName, is: (plotId: Id<'plot'>) => boolean) => {
    const { claims } = rules.find((one) => one.rule === rule)!.allocation
    const own = claims.filter(({ id }) => is(plotOfClaim(id)))
    return sum(own, ({ allocatedM3 }) => wholeLitres(allocatedM3))
  }
  const plotIds = new Set(inputs.claims.map(({ plotId }) => plotId))
  const availableLitres = sum(input.weirs, ({ releasableM3 }) => wholeLitres(releasableM3))
  return {
    rows: inputs.claims.map(({ plotId, needM3, requestedM3 }) => {
      const litres = byRule((rule) => litresTo(rule, (id) => id === plotId))
      return {
        plotId,
        needM3: needM3.likely,
        requestedM3,
        allocatedM3: byRule((rule) => litres[rule] / 1000),
        differenceM3: byRule((rule) => (litres[rule] - litres['evening-out']) / 1000),
      }
    }),
    totalM3: byRule((rule) => litresTo(rule, (id) => plotIds.has(id)) / 1000),
    drinkingM3: byRule((rule) => litresTo(rule, (id) => !plotIds.has(id)) / 1000),
    availableM3: availableLitres / 1000,
    leftM3: byRule((rule) => (availableLitres - litresTo(rule, () => true)) / 1000),
  }
}

function byRule(value: (rule: RuleName) => number): Record<RuleName, number> {
  return Object.fromEntries(RULE_NAMES.map((rule) => [rule, value(rule)])) as Record<RuleName, number>
}
