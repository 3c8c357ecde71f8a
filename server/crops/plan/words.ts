import type { Plot } from '../../people/plot/store.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** A plot as it is chosen from a list, with its ground. */
export function plotInWords({ t, format }: Pick<Desk, 't' | 'format'>, plot: Plot): string {
  const { number, name, areaM2, isAreaKnown } = plot
  if (!isAreaKnown) return t('crops.plan.plot-choice-untaped', { number, name })
  return t('crops.plan.plot-choice', { number, name, area: format.whole(areaM2) })
}
