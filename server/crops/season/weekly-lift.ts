import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Group } from '../../../domain/people/group.ts'
import { sum } from '../../../domain/sum.ts'
import { clearSkyWPerM2ByHour } from '../../../domain/water/weather/clear-sky-hour.ts'
import { pumpDay } from '../../../domain/works/pump-day.ts'
import type { Database } from '../../database/connection.ts'
import { utcOffsetHours } from '../../web/pages/visit.ts'
import { listPumps, type Pump } from '../../works/pump/store.ts'

/**
 * What all pumps together, or those of one weir, lift in a week of clear days, as reckoned on its middle day; null where
 * there is no pump.
 */
export async function weeklyLift(
  db: Database,
  group: Group,
  weirId?: Id<'weir'>,
): Promise<(weekStartOn: CalendarDate) => number | null> {
  const all = await listPumps(db, group.seasonEndOn)
  const pumps = all.filter((pump) => weirId === undefined || pump.weirId === weirId)
  return (weekStartOn) => {
    if (pumps.length === 0) return null
    const sky = middleSky(group, weekStartOn)
    return sum(pumps, (pump) => 7 * dayM3(pump, sky))
  }
}

/** The same for each pump of a weir by itself. */
export async function weeklyLiftByPump(
  db: Database,
  group: Group,
  weirId: Id<'weir'>,
): Promise<{ pump: Pump; lift: (weekStartOn: CalendarDate) => number }[]> {
  const pumps = (await listPumps(db, group.seasonEndOn)).filter((pump) => pump.weirId === weirId)
  return pumps.map((pump) => ({
    pump,
    lift: (weekStartOn) => 7 * dayM3(pump, middleSky(group, weekStartOn)),
  }))
}

/** The clear sky of the week's middle day. */
function middleSky(group: Group, weekStartOn: CalendarDate): number[] {
  const date = addDays(weekStartOn, 3)
  return clearSkyWPerM2ByHour({ ...group, date, utcOffsetHours: utcOffsetHours(date, group.timeZone) })
}

function dayM3({ usualDayM3, ...pump }: Pump, clearSky: number[]): number {
  return pumpDay({
    ...pump,
    clearSkyWPerM2ByHour: clearSky,
    ...(usualDayM3 === null ? {} : { usualDayM3: { clear: usualDayM3 } }),
    mount: 'fixed',
    sky: 'clear',
  }).dayM3
}
