import type { CalendarDate } from '../../../domain/calendar.ts'
import type { WeekDrought } from '../../../domain/rotation/rule/types.ts'
import type { WeekWeir } from '../../../domain/rotation/week/inputs.ts'
import { weekEndOn } from '../../../domain/weeks.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** The first and the last day of a week, as titles name them. */
export function weekValues(
  { format, group }: Pick<Desk, 'format' | 'group'>,
  weekStartOn: CalendarDate,
): Record<string, string> {
  return { start: format.date(weekStartOn), end: format.date(weekEndOn(weekStartOn, group)) }
}

/** The classes that a declared stage of drought cuts, each with the part of its need that is left. */
export function droughtCaps(drought: WeekDrought | null): [string, number][] {
  return Object.entries(drought?.capByClass ?? {}).filter(([, part]) => part < 1)
}

/** Why what a weir gives now is not missing at the end; null where it gives crops nothing or was frozen before the path. */
export function notLessLater(
  { number, name, working }: WeekWeir,
  { t, format: f }: Pick<Desk, 't' | 'format'>,
): string | null {
  const path = working?.path
  if (path?.lostIfLeftM3 === undefined || !(path.cropsM3 > 0)) return null
  const until = f.date(path.keepUntilOn)
  return [
    t('rotation.water-weir', { number, name }),
    t('rotation.water-later', {
      share: f.percent(path.share),
      later: f.volume(path.laterCropsM3),
      drunk: f.volume(path.drinkingM3),
      until,
    }),
    t('rotation.water-lost', { crops: f.volume(path.cropsM3), lost: f.volume(path.lostIfLeftM3), until }),
  ].join(' ')
}
