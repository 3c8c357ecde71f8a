import { hoursAt } from '../../domain/rotation/asked.ts'
import type { Desk } from '../web/pages/desk.ts'

interface TestedOutlet {
  number: number
  flowM3PerH: number | null
}

/** A volume as people at the pipe count it: in jerrycans, and in hours at each of these outlets that has a tested flow. */
export function saidAtOutlets(
  { t, format }: Pick<Desk, 't' | 'format'>,
  volumeM3: number,
  outlets: readonly TestedOutlet[],
): string {
  const jerrycans = format.jerrycans(volumeM3)
  const hours = outlets.flatMap(({ number, flowM3PerH }) =>
    flowM3PerH ? [t('rotation.hours-at', { hours: format.duration(hoursAt({ volumeM3, flowM3PerH })), number })] : [],
  )
  return hours.length > 0
    ? t('rotation.cans-and-hours', { jerrycans, hours: hours.join(', ') })
    : t('rotation.cans-only', { jerrycans })
}
