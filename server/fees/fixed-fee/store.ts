import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { charge } from '../../../domain/fees/charge/charge.ts'
import { splitFees } from '../../../domain/fees/charge/shared-fees.ts'
import type { ChargeLine } from '../../../domain/fees/charge/types.ts'
import type { Tariff, TariffPart } from '../../../domain/fees/tariff/tariff.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import type { Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { groupAccount } from '../ledger/account-store.ts'
import { addTransfer } from '../ledger/transfer-store.ts'
import { payersByNumber } from '../payer/options.ts'
import type { Payer } from '../payer/store.ts'
import { approvedTariffs } from '../tariff/store.ts'
import { payerClasses } from './payer-class-store.ts'

export interface DueFee {
  payer: Payer
  /** With the amount after the split by largest remainders. */
  line: ChargeLine
  every: 'month' | 'season'
  payerClass: string | null
  priceMinor: number
  /** What all who owe this part of the tariff on this day come to. */
  together: Together
}

interface Together {
  quantity: number
  amountMinor: number
}

/**
 * Fees that fell due this season and are not yet posted: by month on its first day, by season on the season's first day,
 * by the tariff, the plots and the class of that day. Whoever holds no plot on that day owes none. What goes by share is
 * split so that the parts sum to what all shares cost together.
 */
export function dueFees(db: Database, { toOn }: { toOn: CalendarDate }): Promise<readonly DueFee[]> {
  return kept(db, 'fees due', toOn, () => reckonDueFees(db, toOn))
}

const feeRows = readTogether('money', (db) => db.selectFrom('fixedFee').select(['accountId', 'kind', 'every', 'dueOn']))

async function reckonDueFees(db: Database, toOn: CalendarDate): Promise<DueFee[]> {
  const present = await currentGroup(db)
  if (!present || present.seasonStartOn > toOn) return []
  const known = {
    tariffs: await approvedTariffs(db),
    classes: await payerClasses(db),
    payers: await payersByNumber(db),
    seasonStartOn: present.seasonStartOn,
  }
  const rows = await feeRows(db)
  const posted = new Set(rows.map((row) => [row.accountId, row.kind, row.every, row.dueOn].join(' ')))
  const due: DueFee[] = []
  for (const on of dueDays(present.seasonStartOn, toOn)) due.push(...split(feesOn(await listPlots(db, on), on, known)))
  return due.filter(({ payer, line, every }) => {
    const isPosted = posted.has([payer.accountId, line.kind, every, line.on].join(' '))
    return line.amountMinor > 0 && !isPosted
  })
}

/** Plots that nobody has taped, where a price goes by the hectare: nothing can be charged for their ground yet. */
export async function untapedPlots(db: Database, on: CalendarDate): Promise<Plot[]> {
  const parts = (await approvedTariffs(db)).flatMap((tariff) => tariff.parts)
  if (!parts.some(({ kind }) => kind === 'per-hectare')) return []
  return (await listPlots(db, on)).filter(({ isAreaKnown }) => !isAreaKnown)
}

interface Known {
  tariffs: readonly Tariff[]
  classes: (personId: Id<'person'>, on: CalendarDate) => string | null
  payers: readonly Payer[]
  seasonStartOn: CalendarDate
}

/** What everyone owes on a due day, each worked out alone. */
function feesOn(plots: readonly Plot[], on: CalendarDate, known: Known): Omit<DueFee, 'together'>[] {
  const { tariffs, classes, seasonStartOn } = known
  const held = plots.flatMap((plot) => plot.holders.map(({ id }) => ({ plot, holderId: id, part: partOf(plot, id) })))
  const owing = group(
    held.filter(({ part }) => part > 0),
    ({ holderId }) => holderId,
  )
  return known.payers.flatMap((payer) => {
    const own = owing.get(payer.personId)
    if (!own) return []
    const payerClass = classes(payer.personId, on)
    const shares = inSteps(sum(own, ({ plot, part }) => plot.shares * part))
    const areaM2 = inSteps(sum(own, ({ plot, part }) => (plot.isAreaKnown ? plot.areaM2 * part : 0)))
    const { lines } = charge({
      tariffs,
      abstractions: [],
      payer: { payerClass, shares, areaM2 },
      period: { from: on, to: on },
      seasonStartsOn: seasonStartOn,
    })
    return lines.map((line) => {
      const parts = partsOf(tariffs, line.tariffId, payerClass)
      const every = everyOf(parts, line.kind, on === seasonStartOn)
      return { payer, line, every, payerClass, priceMinor: priceOf(parts, line.kind) }
    })
  })
}

/** Each holder owes by the part; where no parts were written, the first one owes it all. */
export function partOf({ holders }: Plot, personId: Id<'person'>): number {
  const own = holders.find(({ id }) => id === personId)
  if (own?.part != null) return own.part
  return holders[0]?.id === personId ? 1 : 0
}

/** Takes off the dust of binary arithmetic. */
function inSteps(quantity: number): number {
  return Math.round(quantity * 1e6) / 1e6
}

function split(fees: readonly Omit<DueFee, 'together'>[]): DueFee[] {
  const parts = splitFees({ fees })
  return fees.map((fee, at) => {
    const { amountMinor, togetherQuantity, togetherMinor } = parts[at]!
    const together = { quantity: togetherQuantity, amountMinor: togetherMinor }
    return { ...fee, line: { ...fee.line, amountMinor }, together }
  })
}

/** The first days of months and of the season, in order. */
function dueDays(seasonStartOn: CalendarDate, toOn: CalendarDate): CalendarDate[] {
  const days = new Set([seasonStartOn])
  for (let [year, month] = seasonStartOn.split('-').map(Number) as [number, number]; ; month++) {
    if (month > 12) [year, month] = [year + 1, 1]
    const first = `${year}-${String(month).padStart(2, '0')}-01`
    if (first > toOn) break
    if (first >= seasonStartOn) days.add(first)
  }
  return [...days].toSorted()
}

/** The parts of a tariff as they hold for a class: its own, else everyone's. */
function partsOf(tariffs: readonly Tariff[], tariffId: Id<'tariff'>, payerClass: string | null): readonly TariffPart[] {
  const own = tariffs.filter(({ id }) => id === tariffId)
  return (own.find((one) => one.payerClass === payerClass) ?? own.find((one) => one.payerClass === null))?.parts ?? []
}

function priceOf(parts: readonly TariffPart[], kind: string): number {
  const part = parts.find((one) => one.kind === kind)
  return part && 'priceMinor' in part ? part.priceMinor : 0
}

/** A line of the season's first day may be a season fee, or a monthly one where that day is a first. */
function everyOf(parts: readonly TariffPart[], kind: string, seasonDay: boolean) {
  const seasonal = parts.some((part) => part.kind === kind && 'every' in part && part.every === 'season')
  return seasonDay && seasonal ? ('season' as const) : ('month' as const)
}

/** Posts what is due, worked out again inside the transaction. */
export async function postFees(
  pen: Pen,
  { toOn, onDate, words }: { toOn: CalendarDate; onDate: CalendarDate; words: (due: DueFee) => string },
): Promise<void> {
  const income = await groupAccount(pen.trx, 'fee-income')
  for (const due of await dueFees(pen.trx, { toOn })) {
    const { payer, line, every } = due
    const moved = {
      kind: 'charge',
      debitAccountId: payer.accountId,
      creditAccountId: income,
      amountMinor: line.amountMinor,
      onDate,
      words: words(due),
    } as const
    const { tariffId, kind, quantity, unit, amountMinor } = line
    await addTransfer(
      pen,
      moved,
      { forPersonId: payer.personId },
      {
        chargeLine: [{ tariffId, kind, quantity, unit, amountMinor, estimated: 0 }],
        fixedFee: [{ accountId: payer.accountId, kind, every, dueOn: line.on }],
      },
    )
  }
}

export type PostedFee = Omit<DueFee, 'payer'> & { personId: Id<'person'> }

/** A fee as it was posted, beside what was posted with it for the same day and part; null for any other transfer. */
export async function postedFee(db: Database, transferId: Id<'transfer'>): Promise<PostedFee | null> {
  const rows = await db
    .selectFrom('fixedFee')
    .innerJoin('chargeLine', 'chargeLine.entryId', 'fixedFee.entryId')
    .innerJoin('account', 'account.entryId', 'fixedFee.accountId')
    .select(['fixedFee.entryId as id', 'personId', 'fixedFee.kind', 'every', 'dueOn as on'])
    .select(['tariffId', 'quantity', 'unit', 'amountMinor'])
    .execute()
  const own = rows.find(({ id }) => id === transferId)
  if (!own?.personId) return null
  const { personId, every } = own
  const payerClass = (await payerClasses(db))(personId, own.on)
  const parts = partsOf(await approvedTariffs(db), own.tariffId, payerClass)
  const line = { ...own, abstractionId: null, estimated: false } as unknown as ChargeLine
  const alike = rows.filter(
    (row) => row.on === own.on && row.kind === own.kind && row.every === every && row.tariffId === own.tariffId,
  )
  return {
    personId,
    line,
    every: every as DueFee['every'],
    payerClass,
    priceMinor: priceOf(parts, own.kind),
    together: {
      quantity: Math.round(sum(alike, (row) => row.quantity) * 1e6) / 1e6,
      amountMinor: sum(alike, (row) => row.amountMinor),
    },
  }
}
