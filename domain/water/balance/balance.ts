import type { Id } from '../../id.ts'
import type { BalanceInput } from './input.ts'
import { type BalanceStretch, weirStretches } from './stretches.ts'
import { type BalanceTotals, groupTotals, weirTotals } from './totals.ts'

interface WaterBalance {
  stretches: BalanceStretch[]
  weirs: (BalanceTotals & { weirId: Id<'weir'> })[]
  group: BalanceTotals
}

/**
 * Every weir's water between one reading and the next. In all rows and totals
 * closing = opening + recharge + fed from above + not reckoned + survey change - drawn - loss - spilled - unexplained.
 *
 * Dry stretch: unexplained = fall in storage + fed from above - drawn - loss - spilled.
 * Wet stretch (flow noted, or rain above the mark): recharge = rise + drawn + loss + spilled - fed from above; a negative
 * one is unexplained. With the water above the crest at either end a stretch is not reckoned, and its remainder is named so.
 * Spill and the chosen leak feed the weir below; in the group's totals they cancel. Runs on drainable water.
 * Source: continuity, as in any season water balance; remainders are stated, never spread over other terms.
 */
export function waterBalance(input: BalanceInput): WaterBalance {
  // A weir's leak follows from its own readings alone, so it is known before any weir below is reckoned.
  const alone = input.weirs.flatMap((weir) => weirStretches({ weir, upstream: [], spillsAbove: [], input }))
  const stretches = input.weirs.flatMap((weir) => {
    const above = input.weirs.filter((other) => other.feedsWeirId === weir.weirId).map((other) => other.weirId)
    const upstream = alone.filter((stretch) => above.includes(stretch.weirId))
    return weirStretches({
      weir,
      upstream,
      spillsAbove: input.spills.filter((spill) => above.includes(spill.weirId)),
      input,
    })
  })
  const weirs = input.weirs.map((weir) => ({
    weirId: weir.weirId,
    ...weirTotals({
      weir,
      stretches: stretches.filter((s) => s.weirId === weir.weirId),
      abstractions: input.abstractions,
    }),
  }))
  return { stretches, weirs, group: groupTotals(weirs) }
}
