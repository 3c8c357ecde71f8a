import { InputError } from '../input-error.ts'
import { entitlementMix, type RuleMix } from './rule/types.ts'
import { type Plot, partsOf } from './share/mix.ts'

/** A plot as the rule counts it, m2 and shares. */
interface CountedPlot extends Plot {
  shares: number
}

interface TrialPart {
  id: string
  /** Its part of the water before, and with the newcomer, as fractions of one. */
  before: number
  after: number
}

/**
 * What taking somebody in does to the part of each plot by the group's rule, before anybody is taken in. Need is not known of ground
 * that nobody has planted, so land stands in for it, before and after alike. Null where the rule cannot be reckoned, as when it
 * counts persons and nobody wrote any. Source of the parts: `partsOf`.
 */
export function trialParts({
  plots,
  newcomer,
  mix,
}: {
  plots: readonly CountedPlot[]
  newcomer: CountedPlot
  mix: RuleMix
}): TrialPart[] | null {
  try {
    const before = parts(plots, mix)
    return [...parts([...plots, newcomer], mix)].map(([id, after]) => ({ id, before: before.get(id) ?? 0, after }))
  } catch (error) {
    if (error instanceof InputError) return null
    throw error
  }
}

function parts(plots: readonly CountedPlot[], mix: RuleMix): Map<string, number> {
  const anyDay = '2000-01-01'
  const shares = plots.map((plot) => ({ plotId: plot.id, shares: plot.shares, fromOn: anyDay }))
  return partsOf({ plots, shares, mix: entitlementMix(mix), onDate: anyDay })
}
