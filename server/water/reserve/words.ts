import { CAREFUL, extraDrinkingWeeks } from '../../../domain/water/path/reserve.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { WaterState } from '../storage/state.ts'
import type { CautionSet } from '../users/store.ts'

/** What the group chose beyond the late date of rain, and what stands in where it chose nothing. */
export function cautionWords(
  states: readonly WaterState[],
  caution: CautionSet | null,
  { t, format: f }: Desk,
): string[] {
  const weeks = extraDrinkingWeeks({ ...(caution ?? CAREFUL), grade: 'probed' })
  const differing = states.filter(({ extraWeeks }) => extraWeeks !== weeks)
  return [
    t('water.reserve.extra', { weeks }),
    ...differing.map((state) =>
      t('water.reserve.extra-guessed', { number: state.weir.number, weeks: state.extraWeeks }),
    ),
    caution
      ? t(`water.reserve.caution-${caution.fetchWeeks > 0 ? 'can' : 'cannot'}`, { from: f.date(caution.fromOn) })
      : t('water.reserve.caution-unset'),
  ]
}

/** Where the last dry weeks cost more than the measured loss explains, for the committee to see. */
export function riseWords(states: readonly WaterState[], { t, format: f }: Desk): string[] {
  return states.flatMap(({ weir, rise }) => {
    if (!rise || rise.rise <= 1) return []
    const { fromOn, toOn, lostM3, expectedM3 } = rise
    const volumes = { lost: f.volume(lostM3), expected: f.volume(expectedM3), times: f.two(rise.rise) }
    return [t('water.reserve.rise', { number: weir.number, from: f.date(fromOn), to: f.date(toOn), ...volumes })]
  })
}
