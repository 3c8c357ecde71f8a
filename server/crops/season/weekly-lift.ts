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
 * What all pumps together, or those of one weir, lift in so many clear days from a first one on, as reckoned on their middle day; null where
 * there is no pump.
 */
export async function weeklyLift(
  db: Database,
  group: Group,
  weirId?: Id<'weir'>,
): Promise<(fromOn: CalendarDate, days: number) => number | null> {
  const all = await listPumps(db, group.seasonEndOn)
  const pumps = all.filter((pump) => weirId === undefined || pump.weirId === weirId)
  return (fromOn, days) => {
    if (pumps.length === 0) return null
    const sky = middleSky(group, fromOn, days)
    return sum(pumps, (pump) => days * dayM3(pump, sky))
  }
}

/** The same for each pump of a weir by itself. */
export async function weeklyLiftByPump(
  db: Database,
  group: Group,
  weirId: Id<'weir'>,
): Promise<{ pump: Pump; lift: (fromOn: CalendarDate, days: number) => number }[]> {
  const pumps = (await listPumps(db, group.seasonEndOn)).filter((pump) => pump.weirId === weirId)
  return pumps.map((pump) => ({
    pump,
    lift: (fromOn, days) => days * dayM3(pump, middleSky(group, fromOn, days)),
  }))
}

/** The clear sky of the middle day. */
function middleSky(group: Group, fromOn: CalendarDate, days: number): number[] {
  const date = addDays(fromOn, Math.floor(days / 2))
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
