import { ruleOfWeek } from '../../../domain/rotation/draft/limits.ts'
import type { PlannedShare } from '../../../domain/rotation/draft/plan.ts'
import type { WeekRule } from '../../../domain/rotation/rule/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { Locale } from '../../web/figures/locale.ts'

/** In what order a week's water is given out, said for all and for one plot: protected, then by class, then by the rule. */
export function orderOfWeek({ rule, choice }: WeekInputs, { t }: Locale): string {
  const sentences = [t(`sharing.week-${ruleOfWeek({ choice })}`)]
  if (hasClassOrder(rule)) sentences.push(t('sharing.week-classes'))
  if (rule.protectedPlots.length > 0) sentences.push(t('sharing.week-protected'))
  return sentences.join(' ')
}

export function orderOfShare({ rule, choice }: WeekInputs, share: PlannedShare, { t }: Locale): string {
  if (share.isProtected) return t('sharing.protected')
  const byRule = t(`sharing.${ruleOfWeek({ choice })}`)
  if (!hasClassOrder(rule)) return byRule
  const classes = share.byClass.map((part) => t(`sharing-rule.class.${part.class}`)).join(', ')
  return `${byRule} ${t('sharing.classes', { classes })}`
}

/** The method by which the week was shared, with its source. */
export function methodOfWeek(inputs: WeekInputs, { t }: Locale): string {
  return t(`sharing.method-${ruleOfWeek(inputs)}`)
}

/** True where some class is served before another, or has a least of its own. */
function hasClassOrder({ classes }: WeekRule): boolean {
  return new Set(classes.map(({ place }) => place)).size > 1 || classes.some(({ minimumPart }) => minimumPart !== null)
}
