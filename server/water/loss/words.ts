import type { Desk } from '../../web/pages/desk.ts'
import type { WaterState } from '../storage/state.ts'

/** By what a weir's loss is reckoned: its rests, or the fall that the group settled on. */
export function fallWords({ isLossKnown, rests, survey }: WaterState, { t, format: f }: Desk): string {
  if (!isLossKnown) return t('water.reserve.not-known')
  return rests.length > 0
    ? t('water.loss-by-rests', { rests: rests.length })
    : t('water.loss-settled', { cm: f.two(survey?.lossCmPerDay ?? 0) })
}
