import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { type Minor, minor } from '../../../domain/money/money.ts'
import { type FaultDays, type Standstill, standstill } from '../../../domain/works/fault.ts'
import { correctionsOfKind, firstWriting } from '../../book/first-writing.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { tankOutlets } from '../tank/outlet-store.ts'

export interface Fault {
  id: string
  /** The id under which it was first written; a correction keeps it. */
  firstId: string
  pumpId: Id<'pump'>
  pumpNumber: number
  /** The outlet that it struck, where it is not the whole pump. */
  outletId: Id<'outlet'> | null
  outletNumber: number | null
  foundOn: CalendarDate
  what: string
  stopsPump: boolean
  runsAgainOn: CalendarDate | null
  fix: {
    id: string
    fixedOn: CalendarDate
    cause: string
    daysLost: number
    spares: string | null
  } | null
}

/** Every fault, those still open first, then newest first. */
export function listFaults(db: Database): Promise<readonly Fault[]> {
  return kept(db, 'faults', null, () => readFaults(db))
}

const faultRows = readTogether('works', (db) =>
  db
    .selectFrom('fault')
    .innerJoin('pump', 'pump.entryId', 'fault.pumpId')
    .leftJoin('faultPlace', 'faultPlace.entryId', 'fault.entryId')
    .leftJoin('outlet', 'outlet.entryId', 'faultPlace.outletId')
    .select(['fault.entryId as id', 'fault.pumpId', 'pump.number as pumpNumber', 'foundOn'])
    .select(['what', 'stopsPump as stops', 'faultPlace.outletId', 'outlet.number as outletNumber'])
    .select('runsAgainOn')
    .where(standing('fault'))
    .orderBy('foundOn', 'desc'),
)

const fixRows = readTogether('works', (db) =>
  db
    .selectFrom('faultFix')
    .select(['entryId', 'faultId', 'fixedOn', 'cause', 'daysLost', 'spares'])
    .where(standing('faultFix')),
)

const correctedFaults = readTogether('works', (db) => correctionsOfKind(db, 'fault'))

async function readFaults(db: Database): Promise<Fault[]> {
  const faults = await faultRows(db)
  const fixes = await fixRows(db)
  const firstOf = firstWriting(await correctedFaults(db))
  const listed = faults.map(({ stops, ...fault }): Fault => {
    const firstId = firstOf(fault.id)
    const fix = fixes.find((one) => firstOf(one.faultId) === firstId)
    return { ...fault, firstId, stopsPump: stops === 1, fix: fix ? fixOf(fix) : null }
  })
  return [...listed.filter(({ fix }) => !fix), ...listed.filter(({ fix }) => fix)]
}

type FixRow = { entryId: string; fixedOn: CalendarDate; cause: string; daysLost: number; spares: string | null }

function fixOf({ entryId, fixedOn, cause, daysLost, spares }: FixRow) {
  return { id: entryId, fixedOn, cause, daysLost, spares }
}

/** What a mending cost, and the number of its voucher: for those alone who may see them. */
interface FixCost {
  costMinor: Minor | null
  voucher: string | null
}

const costRows = readTogether('works', (db) =>
  db.selectFrom('faultFix').select(['entryId', 'costMinor', 'voucher']).where(standing('faultFix')),
)

/** The costs by mending; empty for whoever may not see them. */
export async function fixCosts({ db, may }: Pick<Desk, 'db' | 'may'>): Promise<Map<string, FixCost>> {
  if (!may('works.cost-see')) return new Map()
  const rows = await costRows(db)
  return new Map(
    rows.map(({ entryId, costMinor, voucher }) => [
      entryId,
      { costMinor: costMinor === null ? null : minor(costMinor), voucher },
    ]),
  )
}

/** A fault as far as its days go. */
export function daysOf({ foundOn, stopsPump, runsAgainOn, fix }: Fault): FaultDays {
  return { foundOn, stops: stopsPump, runsAgainOn, mended: fix && { on: fix.fixedOn, daysLost: fix.daysLost } }
}

/** A pump or an outlet that a fault keeps from running for whole days. */
export interface Stopped extends Standstill {
  fault: Fault
  /** Outlets on a tank, which a stopped pump leaves running with what stands in it. */
  gravityOutletIds: ReadonlySet<string>
}

export async function stoppedByFaults(db: Database): Promise<Stopped[]> {
  const onTanks = await tankOutlets(db)
  return (await listFaults(db)).flatMap((fault) => {
    const stands = standstill(daysOf(fault))
    return stands ? [{ ...stands, fault, gravityOutletIds: new Set(onTanks(stands.fromOn).keys()) }] : []
  })
}

/** True when a fault keeps water from an outlet of a pump. */
export function strikes(
  { fault, gravityOutletIds }: Stopped,
  { pumpId, outletId }: { pumpId: Id<'pump'>; outletId: Id<'outlet'> },
): boolean {
  if (fault.outletId !== null) return fault.outletId === outletId
  return fault.pumpId === pumpId && !gravityOutletIds.has(outletId)
}

export interface ServiceState {
  pumpId: Id<'pump'>
  pumpNumber: number
  servicedOn: CalendarDate
  /** What the hour meter showed last, and on which day. */
  hoursNow: number
  readOn: CalendarDate
  /** Read on a day after the service; else nobody can say how long the pump ran. */
  isRead: boolean
  /** Run since the last service, and how many of the interval are left. */
  hoursSince: number
  hoursLeft: number
}

const serviceRows = readTogether('works', (db) =>
  db
    .selectFrom('pumpService')
    .innerJoin('entry', 'entry.id', 'pumpService.entryId')
    .innerJoin('pump', 'pump.entryId', 'pumpService.pumpId')
    .selectAll('pumpService')
    .select(['pump.number'])
    .where(standing('pumpService'))
    .orderBy('doneOn', 'desc')
    .orderBy(asWritten, 'desc'),
)

/** Pump hours to the next service, by the last service and the last reading of the hour meter. */
export async function serviceStates(db: Database): Promise<ServiceState[]> {
  const services = await serviceRows(db)
  const read = await hoursRead(db)
  const latest = services.filter((one, at) => services.findIndex(({ pumpId }) => pumpId === one.pumpId) === at)
  return latest.map((service) => {
    const last = read.find((one) => one.pumpId === service.pumpId && one.onDate >= service.doneOn)
    const hoursNow = Math.max(last?.hourMeterH ?? 0, service.hourMeterH)
    const hoursLeft = service.hourMeterH + service.nextAfterH - hoursNow
    return {
      pumpId: service.pumpId,
      pumpNumber: service.number,
      servicedOn: service.doneOn,
      hoursNow,
      readOn: last?.onDate ?? service.doneOn,
      isRead: last !== undefined && last.onDate > service.doneOn,
      hoursSince: hoursNow - service.hourMeterH,
      hoursLeft,
    }
  })
}

const closingHours = readTogether('works', (db) =>
  db
    .selectFrom('logClosing')
    .select(['pumpId', 'toOn as onDate', 'hourMeterH'])
    .where('hourMeterH', 'is not', null)
    .where(standing('logClosing')),
)

/** Every reading of an hour meter, by day and at a closing, the latest first. */
async function hoursRead(db: Database) {
  const byDay = await db
    .selectFrom('pumpDayReading')
    .select(['pumpId', 'onDate', 'hourMeterH'])
    .where('hourMeterH', 'is not', null)
    .where(standing('pumpDayReading'))
    .execute()
  const atClosing = await closingHours(db)
  const rank = (one: (typeof byDay)[number]) => `${one.onDate} ${one.hourMeterH!.toFixed(3).padStart(14, '0')}`
  return [...byDay, ...atClosing].toSorted((a, b) => (rank(a) > rank(b) ? -1 : 1))
}
