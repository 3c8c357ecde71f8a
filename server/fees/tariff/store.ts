import { group } from 'd3-array'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import { DRINKING, type Tariff, type TariffPart, tariffFault, tariffOn } from '../../../domain/fees/tariff/tariff.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { type Approval, approvals } from '../../book/names/approvals.ts'
import { listWithheld, type Withheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { WaterPrices } from '../../rotation/asks.ts'

export interface NewTariff {
  fromOn: CalendarDate
  perM3Minor: number
  /** People's and animals' water costs nothing; else it costs the same as any other. */
  drinkingFree: boolean
  /** Further cubic metres of a month at another price, each block up to its volume; the last one open. */
  blocks?: readonly { upToM3: M3 | null; priceMinor: number }[]
  /** Beside or instead of the volume: for a pump hour, a turn, a share, or flat. */
  parts?: readonly Exclude<TariffPart, { kind: 'per-m3' }>[]
  /** A price of the cubic metre of their own; the school pays nothing else, a tenant all other parts too. */
  classPrices?: Partial<Record<PayerClass, number>>
}

export const PAYER_CLASSES = ['tenant', 'school'] as const
export type PayerClass = (typeof PAYER_CLASSES)[number]

export interface WrittenTariff extends NewTariff {
  id: Id<'tariff'>
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
  /** The second name; a tariff without one is not in force. */
  approval: Approval | null
  withheld: Withheld | null
  /** As the equations take it: one list of parts for each class of payer or use. */
  tariffs: Tariff[]
}

export async function setTariff(pen: Pen, tariff: NewTariff, more: Facts = {}): Promise<string> {
  const { fromOn, perM3Minor, drinkingFree, parts = [], classPrices = {} } = tariff
  const blocks = tariff.blocks?.length ? tariff.blocks : [{ upToM3: null, priceMinor: perM3Minor }]
  const volume = (payerClass: string | null, priced: NonNullable<NewTariff['blocks']>) =>
    priced.map(({ upToM3, priceMinor }) => rowOf(payerClass, 'per-m3', priceMinor, { upToM3 }))
  const others = (payerClass: string | null) =>
    parts.map((part) =>
      part.kind === 'no-show-part'
        ? rowOf(payerClass, 'no-show', 0, { part: part.part })
        : rowOf(payerClass, part.kind, part.priceMinor, { every: 'every' in part ? part.every : null }),
    )
  const open = (priceMinor: number) => [{ upToM3: null, priceMinor }]
  const rows = [
    ...volume(null, blocks),
    ...others(null),
    ...volume(DRINKING, drinkingFree ? open(0) : blocks),
    ...PAYER_CLASSES.flatMap((name) => {
      const own = classPrices[name]
      if (own === undefined) return []
      return [...volume(name, open(own)), ...(name === 'tenant' ? others(name) : [])]
    }),
  ]
  return appendEntry(pen, { kind: 'tariff' }, { ...more, tariff: [{ fromOn }], tariffPart: rows })
}

function rowOf(
  payerClass: string | null,
  kind: TariffPart['kind'],
  priceMinor: number,
  { upToM3 = null, every = null, part = null }: { upToM3?: M3 | null; every?: string | null; part?: number | null },
) {
  return { payerClass, kind, upToM3, every, priceMinor, part }
}

/** Every tariff that stands, approved or not, in the order of writing. */
export function listTariffs(db: Database): Promise<readonly WrittenTariff[]> {
  return kept(db, 'tariffs', null, () => readTariffs(db))
}

const tariffRows = readTogether('money', (db) =>
  db
    .selectFrom('tariff')
    .innerJoin('entry', 'entry.id', 'tariff.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['tariff.entryId as id', 'fromOn', 'entry.writtenBy', 'entry.writtenAt', 'person.name'])
    .where(standing('tariff'))
    .orderBy(asWritten),
)

const partRows = readTogether('money', (db) => db.selectFrom('tariffPart').selectAll())

async function readTariffs(db: Database): Promise<WrittenTariff[]> {
  const rows = await tariffRows(db)
  const parts = group(await partRows(db), (part) => part.entryId)
  const [named, withheld] = [await approvals(db), await listWithheld(db)]
  return rows.map((row) => {
    const tariffs = tariffsOf(row.id, row.fromOn, parts.get(row.id) ?? [])
    const perM3Minor = firstPriceMinor(tariffs, null)
    return {
      id: row.id,
      fromOn: row.fromOn,
      perM3Minor,
      drinkingFree: firstPriceMinor(tariffs, DRINKING) === 0,
      writerId: row.writtenBy,
      writerName: row.name,
      writtenAt: row.writtenAt,
      approval: named.get(row.id) ?? null,
      withheld: withheld.get(row.id) ?? null,
      tariffs,
    }
  })
}

/** The tariffs that hold, for the equations: only those with a second name, later written last. */
export async function approvedTariffs(db: Database): Promise<Tariff[]> {
  return (await listTariffs(db)).filter((one) => one.approval).flatMap((one) => one.tariffs)
}

/** What an hour of the pump and a cubic metre cost an ordinary member on a day; null where the tariff has no such part. */
export async function pricesOn(db: Database, on: CalendarDate): Promise<WaterPrices> {
  const parts = tariffOn({ tariffs: await approvedTariffs(db), on, payerClass: null })?.parts ?? []
  const perHour = parts.find((part) => part.kind === 'per-pump-hour')
  const perM3 = parts.find((part) => part.kind === 'per-m3')
  return { perPumpHourMinor: perHour?.priceMinor ?? null, perM3Minor: perM3?.blocks[0]?.priceMinor || null }
}

interface PartRow {
  payerClass: string | null
  kind: string
  upToM3: M3 | null
  every: string | null
  priceMinor: number
  part: number | null
}

function tariffsOf(id: string, from: CalendarDate, rows: readonly PartRow[]): Tariff[] {
  return [...group(rows, (row) => row.payerClass)].map(([payerClass, ofClass]) => {
    const tariff = { id, from, payerClass, parts: partsOf(ofClass) }
    const fault = tariffFault(tariff)
    if (fault) throw new RangeError(`tariff ${id}: ${fault}`)
    return tariff
  })
}

/** The rows of one kind with a price per m3 are the blocks of one part; the open one comes last. */
function partsOf(rows: readonly PartRow[]): TariffPart[] {
  const open = Number.POSITIVE_INFINITY
  return [...group(rows, (row) => row.kind)].flatMap(([kind, ofKind]): TariffPart[] => {
    if (kind !== 'per-m3') {
      return ofKind.map((row) =>
        row.part !== null
          ? { kind: 'no-show-part', part: row.part }
          : ({ kind, priceMinor: row.priceMinor, ...(row.every && { every: row.every }) } as TariffPart),
      )
    }
    const blocks = ofKind.map((row) => ({ upToM3: row.upToM3, priceMinor: row.priceMinor }))
    return [{ kind, blocks: blocks.toSorted((a, b) => (a.upToM3 ?? open) - (b.upToM3 ?? open)) }]
  })
}

function firstPriceMinor(tariffs: readonly Tariff[], payerClass: string | null): number {
  const parts = tariffs.find((tariff) => tariff.payerClass === payerClass)?.parts ?? []
  const part = parts.find((one) => one.kind === 'per-m3')
  return part?.blocks[0]?.priceMinor ?? 0
}
