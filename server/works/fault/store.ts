import { type FaultDays, type Standstill, standstill } from '../../../domain/works/fault.ts'
import { firstWritings } from '../../book/first-writing.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface Fault {
  id: string
  /** The id under which it was first written; a correction keeps it. */
  firstId: string
  pumpId: string
  pumpNumber: number
  /** The outlet that it struck, where it is not the whole pump. */
  outletId: string | null
  outletNumber: number | null
  foundOn: string
  what: string
  stopsPump: boolean
  runsAgainOn: string | null
  fix: {
    id: string
    fixedOn: string
    cause: string
    daysLost: number
    spares: string | null
    costMinor: number | null
    voucher: string | null
  } | null
}

/** Every fault, those still open first, then newest first. */
export async function listFaults(db: Database): Promise<Fault[]> {
  const faults = await db
    .selectFrom('fault')
    .innerJoin('pump', 'pump.entry_id', 'fault.pump_id')
    .leftJoin('fault_place', 'fault_place.entry_id', 'fault.entry_id')
    .leftJoin('outlet', 'outlet.entry_id', 'fault_place.outlet_id')
    .select(['fault.entry_id as id', 'fault.pump_id as pumpId', 'pump.number as pumpNumber', 'found_on as foundOn'])
    .select(['what', 'stops_pump as stops', 'fault_place.outlet_id as outletId', 'outlet.number as outletNumber'])
    .select('runs_again_on as runsAgainOn')
    .where(standing('fault'))
    .orderBy('found_on', 'desc')
    .execute()
  const fixes = await db.selectFrom('fault_fix').selectAll().where(standing('fault_fix')).execute()
  const firstOf = await firstWritings(db, 'fault')
  const listed = faults.map(({ stops, ...fault }): Fault => {
    const firstId = firstOf(fault.id)
    const fix = fixes.find((one) => firstOf(one.fault_id) === firstId)
    return { ...fault, firstId, stopsPump: stops === 1, fix: fix ? fixOf(fix) : null }
  })
  return [...listed.filter(({ fix }) => !fix), ...listed.filter(({ fix }) => fix)]
}

type FixRow = { entry_id: string; fixed_on: string; cause: string; days_lost: number; spares: string | null } & {
  cost_minor: number | null
  voucher: string | null
}

function fixOf({ entry_id, fixed_on, cause, days_lost, spares, cost_minor, voucher }: FixRow) {
  return { id: entry_id, fixedOn: fixed_on, cause, daysLost: days_lost, spares, costMinor: cost_minor, voucher }
}

/** A fault as far as its days go. */
export function daysOf({ foundOn, stopsPump, runsAgainOn, fix }: Fault): FaultDays {
  return { foundOn, stops: stopsPump, runsAgainOn, mended: fix && { on: fix.fixedOn, daysLost: fix.daysLost } }
}

/** A pump or an outlet that a fault keeps from running for whole days. */
export interface Stopped extends Standstill {
  fault: Fault
}

export async function stoppedByFaults(db: Database): Promise<Stopped[]> {
  return (await listFaults(db)).flatMap((fault) => {
    const stands = standstill(daysOf(fault))
    return stands ? [{ ...stands, fault }] : []
  })
}

/** True when a fault keeps water from an outlet of a pump. */
export function strikes({ fault }: Stopped, { pumpId, outletId }: { pumpId: string; outletId: string }): boolean {
  return fault.outletId === null ? fault.pumpId === pumpId : fault.outletId === outletId
}

export interface ServiceState {
  pumpId: string
  pumpNumber: number
  servicedOn: string
  /** What the hour meter showed last, and on which day. */
  hoursNow: number
  readOn: string
  /** Run since the last service, and how many of the interval are left. */
  hoursSince: number
  hoursLeft: number
}

/** Pump hours to the next service, by the last service and the last reading of the hour meter. */
export async function serviceStates(db: Database): Promise<ServiceState[]> {
  const services = await db
    .selectFrom('pump_service')
    .innerJoin('entry', 'entry.id', 'pump_service.entry_id')
    .innerJoin('pump', 'pump.entry_id', 'pump_service.pump_id')
    .selectAll('pump_service')
    .select(['pump.number'])
    .where(standing('pump_service'))
    .orderBy('done_on', 'desc')
    .orderBy('entry.seq', 'desc')
    .execute()
  const read = await hoursRead(db)
  const latest = services.filter((one, at) => services.findIndex(({ pump_id }) => pump_id === one.pump_id) === at)
  return latest.map((service) => {
    const last = read.find((one) => one.pump_id === service.pump_id && one.on_date >= service.done_on)
    const hoursNow = Math.max(last?.hour_meter_h ?? 0, service.hour_meter_h)
    const hoursLeft = service.hour_meter_h + service.next_after_h - hoursNow
    return {
      pumpId: service.pump_id,
      pumpNumber: service.number,
      servicedOn: service.done_on,
      hoursNow,
      readOn: last?.on_date ?? service.done_on,
      hoursSince: hoursNow - service.hour_meter_h,
      hoursLeft,
    }
  })
}

/** Every reading of an hour meter, by day and at a closing, the latest first. */
async function hoursRead(db: Database) {
  const byDay = await db
    .selectFrom('pump_day_reading')
    .select(['pump_id', 'on_date', 'hour_meter_h'])
    .where('hour_meter_h', 'is not', null)
    .where(standing('pump_day_reading'))
    .execute()
  const atClosing = await db
    .selectFrom('log_closing')
    .select(['pump_id', 'to_on as on_date', 'hour_meter_h'])
    .where('hour_meter_h', 'is not', null)
    .where(standing('log_closing'))
    .execute()
  const rank = (one: (typeof byDay)[number]) => `${one.on_date} ${one.hour_meter_h!.toFixed(3).padStart(14, '0')}`
  return [...byDay, ...atClosing].toSorted((a, b) => (rank(a) > rank(b) ? -1 : 1))
}
