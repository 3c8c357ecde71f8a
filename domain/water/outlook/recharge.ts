import type { CalendarDate } from '../../calendar.ts'
import { sum } from '../../sum.ts'
import type { M3 } from '../../units.ts'
import type { BalanceStretch } from '../balance/stretches.ts'

export interface RechargeFit {
  /** Water that stayed in the sand for each millimetre of a day's rain beyond the mark. */
  rechargeM3PerMm: number
  rechargeFromMm: number
  stretches: number
}

/**
 * How much a weir gains from rain: recharge of its wet stretches over the rain that fell in them beyond the mark.
 * Stretches that ended full say only "at least" and are left out. Null when none is left.
 * Source: ratio of totals; common practice for short records.
 */
export function fitRecharge({
  stretches,
  rain,
  rechargeFromMm,
  fullM3,
}: {
  stretches: readonly Pick<BalanceStretch, 'kind' | 'fromOn' | 'toOn' | 'closingM3' | 'rechargeM3'>[]
  rain: readonly { fellOn: CalendarDate; rainMm: number }[]
  rechargeFromMm: number
  /** What the weir holds to its crest. */
  fullM3: M3
}): RechargeFit | null {
  let [rechargeM3, beyondMm, used] = [0, 0, 0]
  for (const stretch of stretches) {
    if (stretch.kind !== 'wet' || stretch.closingM3 >= 0.99 * fullM3) continue
    const fell = rain.filter(({ fellOn }) => stretch.fromOn <= fellOn && fellOn < stretch.toOn)
    const stretchMm = sum(fell, ({ rainMm }) => Math.max(0, rainMm - rechargeFromMm))
    if (stretchMm === 0) continue
    rechargeM3 += stretch.rechargeM3
    beyondMm += stretchMm
    used += 1
  }
  return used === 0 ? null : { rechargeM3PerMm: rechargeM3 / beyondMm, rechargeFromMm, stretches: used }
}
