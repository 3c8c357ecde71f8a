import { addDays } from '../domain/calendar.ts'
import { appendEntry } from '../server/book/entries.ts'
import { approve } from '../server/book/names/approvals.ts'
import { listVouchers, payVoucher, writeVoucher } from '../server/fees/voucher/store.ts'
import { penOf, type Scene, type Works } from './scene.ts'
import { PERSONS } from './valley.ts'

const [CHAIR, , THIRD] = PERSONS.map(({ name }) => name) as [string, string, string]
const TREASURER = PERSONS.find(({ roles }) => roles.includes('treasurer'))!.name
const ATTENDANT = PERSONS.find(({ roles }) => roles.includes('attendant'))!.name
const COST_MINOR = 1850

/** The cable of the second pump is taken out and mended on a day without turns; what it cost stands on a voucher. */
export async function mendCable(scene: Scene, works: Works, on: string): Promise<void> {
  const pumpId = works.pumps[1]!.id
  const what = 'cable chafed at the well head and taken out'
  const faultId = await appendEntry(
    penOf(scene, ATTENDANT, on, '07:10'),
    { kind: 'fault', happenedAt: `${on}T06:50:00.000Z` },
    { fault: [{ pumpId, what, stopsPump: 1, foundOn: on }] },
  )
  const fix = {
    faultId,
    fixedOn: on,
    cause: 'chafed by the chamber’s rim; new cable in a sleeve',
    daysLost: 1,
    spares: '12 m of cable, sleeve, joint kit',
    costMinor: COST_MINOR,
    voucher: await payElectrician(scene, on),
  }
  await appendEntry(penOf(scene, ATTENDANT, on, '18:40'), { kind: 'fault-fix' }, { faultFix: [fix] })
  const service = { hourMeterH: 1240, nextAfterH: 500, words: 'seal looked at, strainer cleaned' }
  const doneOn = addDays(on, 1)
  await appendEntry(
    penOf(scene, ATTENDANT, doneOn, '06:40'),
    { kind: 'pump-service' },
    { pumpService: [{ pumpId, doneOn, ...service }] },
  )
}

async function payElectrician(scene: Scene, on: string): Promise<string> {
  const id = await writeVoucher(penOf(scene, TREASURER, on, '17:10'), {
    payee: 'licensed electrician of the market town',
    purpose: 'cable of the Hem pump mended',
    category: 'repairs',
    amountMinor: COST_MINOR,
    invoice: 'bill 104',
    column: 'cash',
    stipend: null,
  })
  await approve(penOf(scene, CHAIR, on, '17:30'), id)
  await approve(penOf(scene, THIRD, on, '17:40'), id)
  await payVoucher(penOf(scene, TREASURER, on, '17:50'), { id, onDate: on, words: 'cable of the Hem pump mended' })
  return String((await listVouchers(scene.trx)).find((one) => one.id === id)!.number)
}
