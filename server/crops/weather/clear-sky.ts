import { DateTime } from 'luxon'
import { clearSkyHourlyRadiationMjM2 } from '../../../domain/crops/weather/clear-sky-hour.ts'
import type { Group } from '../../../domain/people/group.ts'

const W_PER_M2_FOR_MJ_PER_M2_AND_H = 1e6 / 3600

/** Mean sun on level ground under a clear sky from each full clock hour to the next, W/m2, by the group's own clock. */
export function clearSkyWPerM2ByHour(input: {
  group: Pick<Group, 'latitudeDeg' | 'longitudeDeg' | 'elevationM' | 'timeZone'>
  date: string
}): number[] {
  const { group, date } = input
  const utcOffsetHours = DateTime.fromISO(`${date}T12:00`, { zone: group.timeZone }).offset / 60
  return Array.from({ length: 24 }, (_, hour) => {
    const radiationMjM2 = clearSkyHourlyRadiationMjM2({ ...group, date, utcOffsetHours, hour })
    return radiationMjM2 * W_PER_M2_FOR_MJ_PER_M2_AND_H
  })
}
