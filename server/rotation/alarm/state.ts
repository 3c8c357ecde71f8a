import { standsOn } from '../../../domain/works/fault.ts'
import type { Database } from '../../database/connection.ts'
import { type Alarm, waterAlarms } from '../../water/alarm/state.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { stoppedByFaults } from '../../works/fault/store.ts'
import { listTanks, type Tank } from '../../works/tank/store.ts'
import { dayChangesOn } from '../day/store.ts'
import { tankUsesOn } from '../tank-turn/store.ts'

/** What stands above everything else on the first page, on the week and on its sheet; in words, with the door to each. */
export async function alarmLines(desk: Desk): Promise<{ words: string; href: string }[]> {
  const alarms = [...(await waterAlarms(desk)), ...(await tankAlarms(desk))]
  return alarms.map(({ key, values, href }) => ({ words: desk.t(key, values), href }))
}

/** A pump that stands still fills no tank, and what stands in one that people drink from is all there is. */
async function tankAlarms({ db, today }: Desk): Promise<Alarm[]> {
  const tanks = await listTanks(db)
  if (tanks.length === 0) return []
  const uses = await tankUsesOn(db, today)
  const stopped = await pumpsStoppedOn(db, today)
  const isAlarming = ({ id, pumpId }: Tank) => uses.get(id)?.servesStand === true && stopped.has(pumpId)
  return tanks.filter(isAlarming).map(({ number, name }) => ({
    key: 'tank-turn.alarm-stopped',
    values: { number, name },
    href: '/turns/tank-turns',
  }))
}

/** By a fault of the whole pump, or since some hour of the day without having run again. */
async function pumpsStoppedOn(db: Database, on: string): Promise<Set<string>> {
  const byFault = (await stoppedByFaults(db)).filter((one) => one.fault.outletId === null && standsOn(one, on))
  const byDay = (await dayChangesOn(db, on)).filter(({ kind, untilMinute }) => kind === 'down' && untilMinute === null)
  return new Set([...byFault.map(({ fault }) => fault.pumpId), ...byDay.map(({ pumpId }) => pumpId)])
}
