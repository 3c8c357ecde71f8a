import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listWeirs } from '../../water/weir/store.ts'
import type { Translate } from '../../web/figures/locale.ts'
import type { Option } from '../../web/pages/form-page.ts'
import { listOutlets, listPumps, type Outlet, type Pump } from '../../works/pump/store.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'

/** Where water leaves the sand: through an outlet, at the pump itself, or by hand from the weir. */
export interface Place {
  weirId: Id<'weir'>
  pump: Pump | null
  outlet: Outlet | null
  /** The raised tank that feeds the outlet by gravity. */
  tankId?: Id<'tank'> | null
  /** What the pump gave by the bucket, until its meter is read again; null for none. */
  bucket?: BucketRate | null
  /** Of a line that is put right: the flow by which it was reckoned. */
  reckonedBy?: { flowM3PerH: number; flowErrorFraction: number } | null
}

/** A flow timed by bucket in a draw of the pump. */
interface BucketRate {
  drawId: Id<'abstraction'>
  onDate: CalendarDate
  flowM3PerH: number
  /** Of the draw in which it was timed, as a fraction. */
  errorFraction: number
}

export interface Works {
  weirs: readonly { id: string; number: number; name: string }[]
  pumps: Pump[]
  outlets: Outlet[]
  /** The tank of each outlet that hangs on one. */
  fed: Map<string, string>
  /** By pump. */
  buckets: Map<string, BucketRate>
}

/** The works as they stood on a day. */
export async function worksOn(db: Database, on: CalendarDate): Promise<Works> {
  const fed = [...(await tankOutletsOn(db, on))].map(([outletId, { tankId }]): [string, string] => [outletId, tankId])
  const [weirs, pumps, outlets] = [await listWeirs(db), await listPumps(db, on), await listOutlets(db, on)]
  return { weirs, pumps, outlets, fed: new Map(fed), buckets: await bucketRates(db, on) }
}

/** The last flow of each pump that was timed by bucket up to a day, unless its meter was read after. */
async function bucketRates(db: Database, on: CalendarDate): Promise<Map<string, BucketRate>> {
  const isNear = ({ onDate }: { onDate: CalendarDate }) => onDate <= on && onDate >= addDays(on, -DAYS_OF_A_RATE)
  if (!(await bucketDays(db)).some(isNear)) return new Map()
  const rows = await db
    .selectFrom('abstraction')
    .innerJoin('entry', 'entry.id', 'abstraction.entryId')
    .select(['entry.id as drawId', 'pumpId', 'method', 'onDate', 'flowM3PerH', 'volumeM3', 'uncertaintyM3'])
    .where('method', 'in', ['bucket', 'meter'])
    .where('pumpId', 'is not', null)
    .where('onDate', '<=', on)
    .where('onDate', '>=', addDays(on, -DAYS_OF_A_RATE))
    .where(standing('abstraction'))
    .orderBy('entry.happenedAt')
    .orderBy(asWritten)
    .execute()
  const rates = new Map<string, BucketRate>()
  for (const { pumpId, method, drawId, onDate, flowM3PerH, volumeM3, uncertaintyM3 } of rows) {
    if (method === 'meter') rates.delete(pumpId!)
    else if (flowM3PerH !== null && volumeM3 > 0)
      rates.set(pumpId!, { drawId, onDate, flowM3PerH, errorFraction: uncertaintyM3 / volumeM3 })
  }
  return rates
}

/** The days of all draws that were timed by bucket: few, and the same question for every day. */
const bucketDays = readTogether('works', (db) =>
  db.selectFrom('abstraction').select('onDate').distinct().where('method', '=', 'bucket'),
)

/** After a month the sun and the level in the weir are others. Own choice, no source. */
const DAYS_OF_A_RATE = 30

export function placeOptions(works: Works, t: Translate): Option[] {
  const pumpNumber = (id: string) => works.pumps.find((pump) => pump.id === id)?.number ?? ''
  const named = (one: { number: number; name: string }) => ({ number: one.number, name: one.name })
  return [
    ...works.outlets.map((outlet) => ({
      value: `outlet:${outlet.id}`,
      label: t('abstractions.place.outlet', { ...named(outlet), pump: pumpNumber(outlet.pumpId) }),
    })),
    ...works.pumps.map((pump) => ({ value: `pump:${pump.id}`, label: t('abstractions.place.pump', named(pump)) })),
    ...works.weirs.map((weir) => ({ value: `weir:${weir.id}`, label: t('abstractions.place.weir', named(weir)) })),
  ]
}

interface DrawnAt {
  weirId: Id<'weir'>
  pumpId: Id<'pump'> | null
  outletId: Id<'outlet'> | null
}

/** The value of a choice of `placeOptions`, made from what an entry holds. */
export function placeValue(drawn: DrawnAt): string {
  if (drawn.outletId) return `outlet:${drawn.outletId}`
  return drawn.pumpId ? `pump:${drawn.pumpId}` : `weir:${drawn.weirId}`
}

/** Undefined when no such place is in the book. */
export function placeOf(works: Works, value: string): Place | undefined {
  const [kind, id] = value.split(':')
  if (kind === 'weir') return works.weirs.some((weir) => weir.id === id) ? byHand(id!) : undefined
  const outlet = kind === 'outlet' ? works.outlets.find((one) => one.id === id) : undefined
  return outlet ? placeOfOutlet(works, outlet.pumpId, outlet) : placeOfOutlet(works, id ?? '', null)
}

/** The weir is that of the pump on the day for which the works were read. */
export function placeOfOutlet(works: Works, pumpId: Id<'pump'>, outlet: Outlet | null): Place | undefined {
  const pump = works.pumps.find((one) => one.id === pumpId)
  const tankId = (outlet && works.fed.get(outlet.id)) ?? null
  const bucket = tankId ? null : (works.buckets.get(pumpId) ?? null)
  return pump && { weirId: pump.weirId, pump, outlet, tankId, bucket }
}

/** Where a draw of the book was drawn, as the works stood on the day for which they were read. */
export function placeOfDraw(works: Works, drawn: DrawnAt): Place {
  return {
    weirId: drawn.weirId,
    pump: works.pumps.find((pump) => pump.id === drawn.pumpId) ?? null,
    outlet: works.outlets.find((outlet) => outlet.id === drawn.outletId) ?? null,
    tankId: works.fed.get(drawn.outletId ?? '') ?? null,
    bucket: works.fed.has(drawn.outletId ?? '') ? null : (works.buckets.get(drawn.pumpId ?? '') ?? null),
  }
}

function byHand(weirId: Id<'weir'>): Place {
  return { weirId, pump: null, outlet: null }
}
