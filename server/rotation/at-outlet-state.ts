import type { Id } from '../../domain/id.ts'
import { hoursAt } from '../../domain/rotation/asked.ts'
import { broughtInHoursM3 } from '../../domain/works/bucket.ts'
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

interface PlannedAtOutlet {
  outletId: Id<'outlet'>
  on: string
  startMinute: number
  endMinute: number
  volumeM3: number
}

/**
 * What a turn of today or later brings at most by the last test of its outlet, in words, where that is less than was agreed: a week stays as it was
 * published, though an outlet may since have been found to give half.
 */
export function lessByTest(
  { t, format, today, may }: Pick<Desk, 't' | 'format' | 'today' | 'may'>,
  turn: PlannedAtOutlet,
  outlets: readonly (TestedOutlet & { id: Id<'outlet'>; testedOn: string | null })[],
): string | null {
  const outlet = outlets.find(({ id }) => id === turn.outletId)
  if (turn.on < today || !outlet?.flowM3PerH || !outlet.testedOn) return null
  const hours = (turn.endMinute - turn.startMinute) / 60
  const broughtM3 = broughtInHoursM3({ volumeM3: turn.volumeM3, hours, testedM3PerH: outlet.flowM3PerH })
  if (broughtM3 === null) return null
  const who = may('week.publish') ? 'committee' : 'other'
  const values = { outlet: outlet.number, date: format.date(outlet.testedOn), volume: format.tenth(broughtM3), who }
  return t('rotation.less-by-test', values)
}
