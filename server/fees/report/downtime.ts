import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import { daysLostTo } from '../../../domain/works/fault.ts'
import type { Database } from '../../database/connection.ts'
import { daysOf, type Fault, listFaults, type ServiceState, serviceStates } from '../../works/fault/store.ts'
import { listVouchers } from '../voucher/store.ts'

interface DownFault extends Fault {
  daysLost: number
  /** The voucher of that number in the cash book, where there is one. */
  voucherId: Id<'voucher'> | null
}

interface PumpDowntime {
  pumpId: Id<'pump'>
  pumpNumber: number
  daysLost: number
  faults: DownFault[]
}

/** What stood still in a span, pump by pump, and the hours to each pump's next service. */
export async function downtime(
  db: Database,
  { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate },
): Promise<{ pumps: PumpDowntime[]; services: ServiceState[] }> {
  const vouchers = await listVouchers(db)
  const faults = (await listFaults(db))
    .filter(({ foundOn, fix }) => foundOn <= toOn && (fix === null || fix.fixedOn >= fromOn))
    .map((fault): DownFault => {
      const number = fault.fix?.voucher?.match(/\d+/)?.[0]
      const voucher = vouchers.find((one) => String(one.number) === number)
      return { ...fault, daysLost: daysLostTo({ ...daysOf(fault), today: toOn }), voucherId: voucher?.id ?? null }
    })
  const pumpIds = [...new Set(faults.map(({ pumpId }) => pumpId))]
  const pumps = pumpIds.map((pumpId): PumpDowntime => {
    const own = faults.filter((fault) => fault.pumpId === pumpId).toSorted((a, b) => (a.foundOn < b.foundOn ? -1 : 1))
    // A fault of one outlet leaves the pump running for the others.
    const ofPump = own.filter(({ outletId }) => outletId === null)
    const daysLost = sum(ofPump, (fault) => fault.daysLost)
    return { pumpId, pumpNumber: own[0]!.pumpNumber, daysLost, faults: own }
  })
  return { pumps: pumps.toSorted((a, b) => a.pumpNumber - b.pumpNumber), services: await serviceStates(db) }
}
