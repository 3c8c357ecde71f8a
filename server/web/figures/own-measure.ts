import { LITRES_PER_M3, type M3 } from '../../../domain/units.ts'
import type { Format } from './format.ts'
import type { Translate } from './locale.ts'

/** What somebody counts water in beside m3 and cans: hours at the outlet, or a vessel that the group has named. */
export type OwnMeasure = { hours: true } | { name: string; litresEach: number }

/** A volume in words of one's own measure; empty for whoever counts in cans, and in hours where no flow was tested. */
export type OwnCount = (volumeM3: M3, flowM3PerH?: number | null) => string

export function ownCount(t: Translate, format: Format, measure: OwnMeasure | null): OwnCount {
  if (measure === null) return () => ''
  if ('hours' in measure)
    return (volumeM3, flowM3PerH) =>
      flowM3PerH ? t('measure.own-hours', { hours: format.duration(volumeM3 / flowM3PerH) }) : ''
  const { name, litresEach } = measure
  return (volumeM3) => t('measure.own-count', { name, count: format.one((volumeM3 * LITRES_PER_M3) / litresEach) })
}
