import type { Database } from '../database/connection.ts'
import { standing } from '../database/standing.ts'

export interface Fault {
  id: string
  pumpNumber: number
  foundOn: string
  what: string
  stopsPump: boolean
  fix: {
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
    .select(['fault.entry_id as id', 'pump.number as pumpNumber', 'found_on as foundOn', 'what', 'stops_pump as stops'])
    .where(standing('fault'))
    .orderBy('found_on', 'desc')
    .execute()
  const fixes = await db.selectFrom('fault_fix').selectAll().where(standing('fault_fix')).execute()
  const listed = faults.map(({ stops, ...fault }): Fault => {
    const fix = fixes.find((one) => one.fault_id === fault.id)
    return { ...fault, stopsPump: stops === 1, fix: fix ? fixOf(fix) : null }
  })
  return [...listed.filter(({ fix }) => !fix), ...listed.filter(({ fix }) => fix)]
}

type FixRow = { fixed_on: string; cause: string; days_lost: number; spares: string | null } & {
  cost_minor: number | null
  voucher: string | null
}

function fixOf({ fixed_on, cause, days_lost, spares, cost_minor, voucher }: FixRow) {
  return { fixedOn: fixed_on, cause, daysLost: days_lost, spares, costMinor: cost_minor, voucher }
}

export interface ServiceState {
  pumpNumber: number
  servicedOn: string
  /** What the hour meter showed last, and on which day. */
  hoursNow: number
  readOn: string
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
  const read = await db
    .selectFrom('pump_day_reading')
    .select(['pump_id', 'on_date', 'hour_meter_h'])
    .where('hour_meter_h', 'is not', null)
    .where(standing('pump_day_reading'))
    .orderBy('on_date', 'desc')
    .orderBy('hour_meter_h', 'desc')
    .execute()
  const latest = services.filter((one, at) => services.findIndex(({ pump_id }) => pump_id === one.pump_id) === at)
  return latest.map((service) => {
    const last = read.find((one) => one.pump_id === service.pump_id && one.on_date >= service.done_on)
    const hoursNow = Math.max(last?.hour_meter_h ?? 0, service.hour_meter_h)
    const hoursLeft = service.hour_meter_h + service.next_after_h - hoursNow
    return {
      pumpNumber: service.number,
      servicedOn: service.done_on,
      ...{ hoursNow, readOn: last?.on_date ?? service.done_on, hoursLeft },
    }
  })
}
