import { sum } from '../../sum.ts'
import type { ClaimAllocation } from '../allocation/types.ts'
import { checkRule } from '../draft/check-rule.ts'
import { drinkingClaimId } from '../draft/claims.ts'
import type { PlannedTurn } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'
import type { ManualWarning } from '../week/manual-change.ts'
import type { PlannedWeek } from '../week/planned-week.ts'

/**
 * What the group's rule promises, judged on the turns as the committee's hand left them: the spare part, drinking water, the
 * caps, protected plots and minimums. Only what the hand has done is named; the reckoned turns are judged the same way first.
 */
export function ruleWarnings(
  inputs: WeekInputs,
  before: Pick<PlannedWeek, 'turns' | 'shares' | 'allocation'>,
  after: readonly PlannedTurn[],
): ManualWarning[] {
  const judgedOf = (turns: readonly PlannedTurn[]) =>
    checkRule(inputs, {
      shares: before.shares,
      allocation: { ...before.allocation, claims: claimsOf(inputs, before, turns) },
    })
  const nameOf = ({ code, values }: ManualWarning) => `${code} ${values.plot ?? values.weir}`
  const known = new Set(judgedOf(before.turns).map(nameOf))
  return judgedOf(after).filter((problem) => !known.has(nameOf(problem)))
}

/** The turns of each plot as one claim, beside the drinking water as it was allocated. */
function claimsOf(
  { weirs, plots }: WeekInputs,
  { allocation }: Pick<PlannedWeek, 'allocation'>,
  turns: readonly PlannedTurn[],
): ClaimAllocation[] {
  const drinking = new Set(weirs.map((weir) => drinkingClaimId(weir.id)))
  const ofPlots = plots.flatMap(({ id }): ClaimAllocation[] => {
    const byOutletM3: Record<string, number> = {}
    for (const turn of turns.filter(({ plotId }) => plotId === id))
      byOutletM3[turn.outletId] = (byOutletM3[turn.outletId] ?? 0) + turn.volumeM3
    const allocatedM3 = sum(Object.values(byOutletM3))
    return allocatedM3 > 0
      ? [{ id, allocatedM3, byOutletM3, level: null, heldBy: { kind: 'need' }, alsoHeldBy: [] }]
      : []
  })
  return [...allocation.claims.filter((claim) => drinking.has(claim.id)), ...ofPlots]
}
