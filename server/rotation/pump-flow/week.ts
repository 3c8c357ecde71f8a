import type { Group } from '../../../domain/people/group.ts'
import { cappedByChambers } from '../../../domain/rotation/pump-flow/chamber.ts'
import { usualPumpDays } from '../../../domain/rotation/pump-flow/log.ts'
import type { WeekPump } from '../../../domain/rotation/week/inputs.ts'
import type { PumpFacts } from '../../../domain/rotation/week/turn-facts.ts'
import { clearSkyWPerM2ByHour } from '../../../domain/water/weather/clear-sky-hour.ts'
import { type PumpMount, pumpDay, type Sky } from '../../../domain/works/pump-day.ts'
import { inForce } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { chamberLimits } from '../../water/chamber/store.ts'
import { utcOffsetHours } from '../../web/pages/visit.ts'
import { listPumps, type Pump } from '../../works/pump/store.ts'
import { weekSkies } from './sky-store.ts'
import { pumpLogDays, pumpMounts } from './store.ts'

/**
 * What each pump is expected to give, hour by hour: the mount as it stands on each day, the sky that the committee expects
 * (clear where it said nothing), and the pump's own log once it has enough days of such a sky.
 */
export async function weekPumps(
  db: Database,
  group: Group,
  days: readonly string[],
  /** The sky as it turned out, where that is known. */
  seen: Partial<Record<string, Sky>> = {},
): Promise<{ pumps: WeekPump[]; facts: PumpFacts[] }> {
  const skies = { ...(await weekSkies(db, days[0]!)), ...seen }
  const mounts = await pumpMounts(db)
  const suns = new Map(
    days.map((date) => {
      const offset = utcOffsetHours(date, group.timeZone)
      return [date, clearSkyWPerM2ByHour({ ...group, date, utcOffsetHours: offset })]
    }),
  )
  const pumps: WeekPump[] = []
  const facts: PumpFacts[] = []
  const all = await listPumps(db, days[0]!)
  const logs = await pumpLogDays(db, all)
  for (const pump of all) {
    const own = mounts.filter((row) => row.pumpId === pump.id)
    const logged = usualPumpDays({ days: logs.get(pump.id)!, month: Number(days[0]!.slice(5, 7)) })
    const expected = days.map((date) => {
      const sky: Sky = skies[date] ?? 'clear'
      const mount: PumpMount = inForce(own, date)?.mount ?? 'fixed'
      const clearSky = suns.get(date)!
      return { date, sky, ...dayOf(pump, { clearSky, sky, mount, usualDayM3: usualDayM3(pump, logged) }) }
    })
    const { id, number, name, weirId, outletsAtOnce } = pump
    const byDay = <T>(value: (day: (typeof expected)[number]) => T) =>
      Object.fromEntries(expected.map((day) => [day.date, value(day)]))
    pumps.push({ id, number, name, weirId, outletsAtOnce, flowM3PerHByDay: byDay((day) => day.flowM3PerHByHour) })
    const mount = inForce(own, days[0]!)
    facts.push({
      pumpId: id,
      mount: mount?.mount ?? 'fixed',
      mountFromOn: mount?.fromOn ?? null,
      skyByDay: byDay((day) => day.sky),
      dayM3ByDay: byDay((day) => day.dayM3),
      loggedDays: Object.fromEntries(Object.entries(logged).map(([sky, usual]) => [sky, usual.days])),
    })
  }
  const limits = await chamberLimits(db, days[0]!)
  const sustainedM3PerHByWeir = new Map([...limits].map(([weirId, limit]) => [weirId, limit.sustainedM3PerH]))
  return { pumps: cappedByChambers({ pumps, sustainedM3PerHByWeir }), facts }
}

type Logged = ReturnType<typeof usualPumpDays>

/** The pump's own log comes before what was said when it was described. */
function usualDayM3(pump: Pump, logged: Logged): Partial<Record<Sky, number>> | undefined {
  const described = pump.usualDayM3 === null ? {} : { clear: pump.usualDayM3 }
  const own = Object.fromEntries(Object.entries(logged).map(([sky, usual]) => [sky, usual.meanM3]))
  const all = { ...described, ...own }
  return Object.keys(all).length > 0 ? all : undefined
}

function dayOf(
  { usualFlowM3PerH, sunThresholdWPerM2, firstHour, lastHour }: Pump,
  day: { clearSky: number[]; sky: Sky; mount: PumpMount; usualDayM3: Partial<Record<Sky, number>> | undefined },
) {
  const { clearSky: clearSkyWPerM2ByHour, ...rest } = day
  return pumpDay({ usualFlowM3PerH, sunThresholdWPerM2, firstHour, lastHour, clearSkyWPerM2ByHour, ...rest })
}
