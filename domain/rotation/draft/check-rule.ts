import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import type { M3 } from '../../units.ts'
import type { WeekClaim, WeekInputs } from '../week/inputs.ts'
import type { PlannedWeek } from '../week/planned-week.ts'

interface RuleProblem {
  code: 'spare-booked' | 'drinking-short' | 'above-cap' | 'protected-short' | 'minimum-short'
  values: Record<string, string | number>
}

/** What a plot has of the promises that the rule makes it, in m3. */
interface Standing {
  plotId: Id<'plot'>
  gotM3: M3
  outletIds: readonly string[]
  byOutletM3: Record<string, number>
  /** Most that it may be given. */
  mostM3: M3
  /** Least that the rule promises it before others have more than theirs. */
  leastM3: M3
  isGuarded: boolean
  heldByHours: boolean
}

/** One litre a claim is lost by rounding down, and a plot has at most as many claims as there are classes. */
const TOLERANCE_M3 = 0.006

/**
 * Judges what the group's rule promises from the plain inputs, in code of its own: the spare part is left, nobody drinks
 * less while plots draw from the weir, no plot has more than a declared stage and its request leave it, and no protected
 * plot or minimum is short while a plot behind it has more than its own least from the same outlet. An empty list means
 * no fault.
 */
export function checkRule(inputs: WeekInputs, week: Pick<PlannedWeek, 'allocation' | 'shares'>): RuleProblem[] {
  const standings = inputs.claims.map((claim) => standingOf(inputs, claim, week))
  return [...weirProblems(inputs, week, standings), ...standings.flatMap(aboveCap), ...shortProblems(standings)]
}

function standingOf(inputs: WeekInputs, claim: WeekClaim, week: Pick<PlannedWeek, 'allocation' | 'shares'>): Standing {
  const { rule, drought, choice, carryOverM3 } = inputs
  const own = week.allocation.claims.filter(({ id }) => id === claim.plotId || id.startsWith(`${claim.plotId}/`))
  const byOutletM3: Record<string, number> = {}
  for (const [outletId, volumeM3] of own.flatMap((one) => Object.entries(one.byOutletM3))) {
    byOutletM3[outletId] = (byOutletM3[outletId] ?? 0) + volumeM3
  }
  const listed = rule.protectedPlots.find((one) => one.plotId === claim.plotId)
  const isGuarded = listed !== undefined && (drought?.stage ?? 0) <= (listed.upToStage ?? Number.POSITIVE_INFINITY)
  const placeOf = (part: WeekClaim['parts'][number]) =>
    rule.classes.find((one) => one.class === part.class)?.place ?? Number.POSITIVE_INFINITY
  const carried = choice && choice.rule !== 'evening-out' ? (carryOverM3[claim.plotId] ?? 0) : 0
  // What was asked for goes to the parts in the order in which the rule serves them; what is carried over to the first.
  let askedLeft = claim.requestedM3 ?? Number.POSITIVE_INFINITY
  let [mostM3, leastM3] = [0, 0]
  const served = [...claim.parts].sort((a, b) => (isGuarded ? 0 : placeOf(a) - placeOf(b)))
  for (const [at, part] of served.entries()) {
    const left = isGuarded ? part.needM3 : part.needM3 * Math.min(1, drought?.capByClass[part.class] ?? 1)
    const minimum = rule.classes.find((one) => one.class === part.class)?.minimumPart ?? 0
    const asked = Math.min(left, askedLeft)
    askedLeft -= asked
    mostM3 += asked
    leastM3 += Math.min(asked + (at === 0 ? carried : 0), isGuarded ? left : Math.min(left, part.needM3 * minimum))
  }
  return {
    plotId: claim.plotId,
    gotM3: sum(own, ({ allocatedM3 }) => allocatedM3),
    outletIds: inputs.plots.find((plot) => plot.id === claim.plotId)?.outletIds ?? [],
    byOutletM3,
    mostM3: mostM3 + carried,
    leastM3,
    isGuarded,
    heldByHours: week.shares.find((share) => share.plotId === claim.plotId)?.heldBy.kind === 'hours',
  }
}

function weirProblems(
  { weirs, pumps, outlets, rule }: WeekInputs,
  { allocation }: Pick<PlannedWeek, 'allocation'>,
  standings: readonly Standing[],
): RuleProblem[] {
  return weirs.flatMap((weir): RuleProblem[] => {
    const ownPumps = pumps.filter((pump) => pump.weirId === weir.id).map((pump) => pump.id)
    const own = outlets.filter((outlet) => ownPumps.includes(outlet.pumpId)).map((outlet) => outlet.id)
    const plotsM3 = sum(standings, (one) => through(one, own))
    const drinkM3 = allocation.claims.find(({ id }) => id === `drinking-${weir.id}`)?.allocatedM3 ?? 0
    const spareM3 = weir.releasableM3 - drinkM3 - plotsM3
    const problems: RuleProblem[] = []
    if (plotsM3 > 0 && spareM3 < weir.releasableM3 * rule.sparePart - TOLERANCE_M3) {
      problems.push({ code: 'spare-booked', values: { weir: weir.id, leftM3: spareM3 } })
    }
    if (plotsM3 > 0 && drinkM3 < weir.drinkingM3 - TOLERANCE_M3) {
      problems.push({ code: 'drinking-short', values: { weir: weir.id, drinkM3 } })
    }
    return problems
  })
}

function aboveCap({ plotId, gotM3, mostM3 }: Standing): RuleProblem[] {
  return gotM3 > mostM3 + TOLERANCE_M3 ? [{ code: 'above-cap', values: { plot: plotId, gotM3, mostM3 } }] : []
}

/** The hours may hold a plot below what it was promised; then others have the water by right. */
function shortProblems(standings: readonly Standing[]): RuleProblem[] {
  return standings
    .filter(({ gotM3, leastM3, heldByHours }) => !heldByHours && gotM3 < leastM3 - TOLERANCE_M3)
    .flatMap((short): RuleProblem[] => {
      const other = standings.find((one) => hasMore(short, one) && through(one, short.outletIds) > TOLERANCE_M3)
      if (!other) return []
      const code = short.isGuarded ? 'protected-short' : 'minimum-short'
      return [
        { code, values: { plot: short.plotId, gotM3: short.gotM3, leastM3: short.leastM3, before: other.plotId } },
      ]
    })
}

/** True where another has more than its own least; an unprotected one that stands behind a protected plot: more than nothing. */
function hasMore(short: Standing, other: Standing): boolean {
  if (other.isGuarded && !short.isGuarded) return false
  const ownM3 = short.isGuarded && !other.isGuarded ? 0 : other.leastM3
  return other.gotM3 > ownM3 + TOLERANCE_M3
}

function through({ byOutletM3 }: Standing, outletIds: readonly string[]): number {
  return sum(outletIds, (id) => byOutletM3[id] ?? 0)
}
