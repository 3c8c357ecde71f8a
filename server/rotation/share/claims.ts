import type { CalendarDate } from '../../../domain/calendar.ts'
import { stageOn } from '../../../domain/crops/crop/stages.ts'
import { type SensitivityRank, sensitivityOrder } from '../../../domain/crops/season/sensitivity-order.ts'
import type { PlotClass } from '../../../domain/people/plot-class.ts'
import { cropClass } from '../../../domain/rotation/rule/classes.ts'
import type { WeekRule } from '../../../domain/rotation/rule/types.ts'
import type { ClaimPart, WeekClaim, WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { M3 } from '../../../domain/units.ts'
import type { PlanNeed, PlotNeed } from '../../crops/need/state.ts'
import { domainPlan } from '../../crops/plan/store.ts'
import type { Plot } from '../../people/plot/store.ts'
import type { WaterRequest } from '../request/store.ts'

/** What the claims of a week are made of. */
interface Claiming {
  rule: WeekRule
  days: readonly CalendarDate[]
  plots: readonly Plot[]
  needs: readonly PlotNeed[]
  requests: readonly WaterRequest[]
  /** What each plot was given in the week before, where that was published. */
  lastGivenM3: ReadonlyMap<string, number>
  /** Classes that the group has written, by crop plan. */
  planClasses: ReadonlyMap<string, PlotClass>
}

/** Who has a claim this week: whoever asked, or every plot with a crop in the ground, as the rule says. */
export function admittedClaims(claiming: Claiming): Pick<WeekInputs, 'claims' | 'notAdmitted'> {
  const { rule, plots, needs, requests, lastGivenM3 } = claiming
  const ranks = stageRanks(claiming)
  const claims: WeekClaim[] = []
  const notAdmitted: WeekInputs['notAdmitted'] = []
  for (const plot of plots) {
    const need = needs.find((one) => one.plotId === plot.id)
    const request = requests.find((one) => one.plotId === plot.id)
    if (rule.admission === 'request' && !request) notAdmitted.push({ plotId: plot.id, reason: 'not-asked', codes: [] })
    else if (!need || need.plans.length === 0) notAdmitted.push({ plotId: plot.id, reason: 'no-crop', codes: [] })
    else if (!need.need) {
      const givenM3 = lastGivenM3.get(plot.id) ?? 0
      if (givenM3 > 0)
        claims.push(asLastWeek(need, request?.volumeM3 ?? null, partsByClass(need.plans, claiming, ranks), givenM3))
      else notAdmitted.push({ plotId: plot.id, reason: 'need-unknown', codes: codesOf(need) })
    } else {
      const { lowM3, likelyM3, highM3 } = need.need
      claims.push({
        plotId: plot.id,
        needM3: { low: lowM3, likely: likelyM3, high: highM3 },
        requestedM3: request?.volumeM3 ?? null,
        latestOn: need.latestOn,
        turns: need.turns,
        parts: partsByClass(need.plans, claiming, ranks),
      })
    }
  }
  return { claims, notAdmitted }
}

/** Where nothing can be said of a need, what was given last week stands in, spread evenly over its classes. */
function asLastWeek({ plotId }: PlotNeed, requestedM3: M3 | null, parts: readonly ClaimPart[], givenM3: M3): WeekClaim {
  return {
    plotId,
    needM3: { low: 0, likely: givenM3, high: givenM3 },
    requestedM3,
    isAsLastWeek: true,
    latestOn: null,
    parts: parts.map((part) => ({ ...part, needM3: givenM3 / parts.length })),
  }
}

function codesOf(need: PlotNeed): string[] {
  return [...new Set(need.cannotSay.map((reason) => reason.code))]
}

/** The need of a plot by the class of its crops; the crop that suffers first speaks for its class. */
function partsByClass(
  plans: readonly PlanNeed[],
  { rule, planClasses }: Claiming,
  ranks: ReadonlyMap<string, number>,
): ClaimPart[] {
  const parts = new Map<PlotClass, ClaimPart>()
  for (const { plan, crop, result } of plans) {
    const setClass = planClasses.get(plan.id) ?? null
    const { sownOn } = plan
    const found = cropClass({ setClass, sownOn, declaredOn: rule.declaredOn, perennial: crop.perennial })
    const part = parts.get(found.class) ?? { class: found.class, needM3: 0, stageRank: null }
    const rank = ranks.get(plan.id) ?? null
    parts.set(found.class, {
      ...part,
      needM3: part.needM3 + (result.known ? result.grossM3.likely : 0),
      stageRank: rank === null ? part.stageRank : Math.min(rank, part.stageRank ?? rank),
    })
  }
  return [...parts.values()]
}

/** Stages that suffer most from a cut come first; within a rank all are cut alike. */
const RANK_OF_STAGE: Record<SensitivityRank['why'], number> = {
  perennial: 1,
  'flowering-and-fruit-set': 1,
  seedling: 1,
  growing: 2,
  ripening: 3,
}

/** How much each crop of the week suffers from a cut, by its stage on the first day of the week on which it stands. */
function stageRanks({ needs, days }: Claiming): Map<string, number> {
  const standing = needs.flatMap(({ plans }) =>
    plans.flatMap(({ plan, crop }) => {
      const { crop: planned, ...season } = domainPlan(plan)
      const at = days.map((day) => stageOn({ ...season, stageDays: planned.stageDays }, day)).find((one) => one)
      if (!at) return []
      return [{ id: plan.id, stage: at.stage, perennial: crop.perennial, yieldResponse: crop.yieldResponse }]
    }),
  )
  return new Map(sensitivityOrder({ plots: standing }).map(({ id, why }) => [id, RANK_OF_STAGE[why]]))
}
