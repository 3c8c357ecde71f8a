import { extent } from 'd3-array'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { PaidDays } from '../../../domain/fees/reconcile/types.ts'
import type { Id } from '../../../domain/id.ts'
import { InputError } from '../../../domain/input-error.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { namesByEntry } from '../../book/names/approvals.ts'
import { listWithheld, type Withheld } from '../../book/names/withheld-store.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { groupAccount, type HeldColumn, type MoneyColumn } from '../ledger/account-store.ts'
import { transfersByCause } from '../ledger/cause-store.ts'
import { addTransfer, type WrittenTransfer } from '../ledger/transfer-store.ts'
import { checkHeld } from './reserve-store.ts'

export const COST_CATEGORIES = ['stipend', 'spares', 'repairs', 'committee', 'replacement', 'other'] as const
type CostCategory = (typeof COST_CATEGORIES)[number]
/** Names that a payout needs besides the writer's. */
export const NAMES_NEEDED = 2

export interface NewVoucher {
  payee: string
  purpose: string
  category: CostCategory
  amountMinor: number
  invoice: string | null
  column: HeldColumn
  stipend: { personId: Id<'person'>; fromOn: CalendarDate; toOn: CalendarDate; days: number } | null
}

export interface Voucher extends NewVoucher {
  id: Id<'voucher'>
  number: number
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
  names: { personId: Id<'person'>; name: string; at: string }[]
  payout: WrittenTransfer | null
  withheld: Withheld | null
}

export async function writeVoucher(pen: Pen, voucher: NewVoucher): Promise<string> {
  const last = await pen.trx
    .selectFrom('voucher')
    .select((eb) => eb.fn.max('number').as('last'))
    .executeTakeFirst()
  const row = {
    number: (last?.last ?? 0) + 1,
    payee: voucher.payee,
    purpose: voucher.purpose,
    category: voucher.category,
    amountMinor: voucher.amountMinor,
    invoice: voucher.invoice,
    moneyColumn: voucher.column,
    stipendPersonId: voucher.stipend?.personId ?? null,
    stipendFromOn: voucher.stipend?.fromOn ?? null,
    stipendToOn: voucher.stipend?.toOn ?? null,
    stipendDays: voucher.stipend?.days ?? null,
  }
  return appendEntry(pen, { kind: 'voucher' }, { voucher: [row] })
}

const voucherRows = readTogether('money', (db) =>
  db
    .selectFrom('voucher')
    .innerJoin('entry', 'entry.id', 'voucher.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .where(standing('voucher'))
    .selectAll('voucher')
    .select(['entry.writtenBy', 'entry.writtenAt', 'person.name'])
    .orderBy('number'),
)

export async function listVouchers(db: Database): Promise<Voucher[]> {
  const rows = await voucherRows(db)
  const names = await namesByEntry(db)
  const [payouts, withheld] = [await transfersByCause(db), await listWithheld(db)]
  return rows.map((row) => ({
    id: row.entryId,
    number: row.number,
    payee: row.payee,
    purpose: row.purpose,
    category: row.category as CostCategory,
    amountMinor: row.amountMinor,
    invoice: row.invoice,
    column: row.moneyColumn as HeldColumn,
    stipend: row.stipendPersonId
      ? {
          personId: row.stipendPersonId,
          fromOn: row.stipendFromOn!,
          toOn: row.stipendToOn!,
          days: row.stipendDays!,
        }
      : null,
    writerId: row.writtenBy,
    writerName: row.name,
    writtenAt: row.writtenAt,
    names: names.get(row.entryId) ?? [],
    payout: payouts.get(row.entryId) ?? null,
    withheld: withheld.get(row.entryId) ?? null,
  }))
}

/**
 * Moves the money of a voucher that has its names, once. Throws InputError `voucher-needs-names`, `voucher-paid` or
 * `not-enough-held`, which is read here, so that the same money cannot be paid out twice at once.
 */
export async function payVoucher(
  pen: Pen,
  { id, onDate, words }: { id: string; onDate: CalendarDate; words: string },
): Promise<string> {
  const voucher = (await listVouchers(pen.trx)).find((one) => one.id === id)!
  if (voucher.names.length < NAMES_NEEDED) throw new InputError('voucher-needs-names')
  if (voucher.payout) throw new InputError('voucher-paid')
  await checkHeld(pen.trx, voucher.column, voucher.amountMinor)
  const moved = {
    kind: 'payout',
    debitAccountId: await groupAccount(pen.trx, 'costs'),
    creditAccountId: await groupAccount(pen.trx, voucher.column),
    amountMinor: voucher.amountMinor,
    onDate,
    words,
  } as const
  return addTransfer(pen, moved, {}, { transferCause: [{ causeId: id }] })
}

/** Days on which a person wrote into the log, and days with any entry of anybody, in a span. */
export async function daysInLog(db: Database, span: PersonDays) {
  return daysAmong(await writtenDays(db, span).execute(), span)
}

interface PersonDays {
  personId: Id<'person'>
  fromOn: CalendarDate
  toOn: CalendarDate
}

type WrittenDay = Awaited<ReturnType<ReturnType<typeof writtenDays>['execute']>>[number]

function daysAmong(written: readonly WrittenDay[], { personId, fromOn, toOn }: PersonDays) {
  const rows = written.filter(({ onDate }) => onDate >= fromOn && onDate <= toOn)
  const own = rows.filter((row) => row.writtenBy === personId)
  return { own: new Set(own.map((row) => row.onDate)).size, any: new Set(rows.map((row) => row.onDate)).size }
}

/** Who wrote into the log on which day of a span. */
function writtenDays(db: Database, span: Pick<PersonDays, 'fromOn' | 'toOn'>) {
  return db
    .selectFrom('abstraction')
    .innerJoin('entry', 'entry.id', 'abstraction.entryId')
    .where(standing('abstraction'))
    .where('onDate', '>=', span.fromOn)
    .where('onDate', '<=', span.toOn)
    .select(['onDate', 'entry.writtenBy'])
    .distinct()
}

/** The vouchers paid out between two days. */
export async function paidBetween(db: Database, { from, to }: { from: CalendarDate; to: CalendarDate }) {
  return (await listVouchers(db)).filter(({ payout }) => payout && payout.on >= from && payout.on <= to)
}

/** What is asked of the log for the stipends among some vouchers; nothing where there are none. */
export function daysOfStipends(db: Database, paid: readonly Voucher[]) {
  const spans = paid.flatMap(({ stipend }) => stipend ?? [])
  const [fromOn] = extent(spans, (span) => span.fromOn)
  const [, toOn] = extent(spans, (span) => span.toOn)
  return fromOn === undefined ? [] : [writtenDays(db, { fromOn, toOn: toOn! })]
}

/** The stipends paid out between two days, each with the days of its own span that stand in the log. */
export async function stipendsPaid(db: Database, { from, to }: { from: CalendarDate; to: CalendarDate }) {
  const paid = await paidBetween(db, { from, to })
  const [asked] = daysOfStipends(db, paid)
  if (!asked) return []
  const written = await asked.execute()
  return paid.flatMap(({ id: voucherId, number, stipend }): PaidDays[] => {
    if (!stipend) return []
    const { own: loggedDays, any: anyDays } = daysAmong(written, stipend)
    return [{ voucherId, number, paidDays: stipend.days, loggedDays, anyDays }]
  })
}

export async function setFloatLimit(pen: Pen, { fromOn, limitMinor }: { fromOn: CalendarDate; limitMinor: number }) {
  return appendEntry(pen, { kind: 'float-limit' }, { floatLimit: [{ fromOn, limitMinor }] })
}

/** The most cash that the group keeps in the box on a day; null while it has set none. */
export async function floatLimitOn(db: Database, on: CalendarDate): Promise<number | null> {
  const row = await db
    .selectFrom('floatLimit')
    .innerJoin('entry', 'entry.id', 'floatLimit.entryId')
    .where(standing('floatLimit'))
    .where('fromOn', '<=', on)
    .select('limitMinor')
    .orderBy('fromOn', 'desc')
    .orderBy(asWritten, 'desc')
    .limit(1)
    .executeTakeFirst()
  return row?.limitMinor ?? null
}

/**
 * Moves money between cash, wallet and bank; the reserve has moves of its own, with two names. Throws InputError
 * `not-enough-held`.
 */
export async function moveMoney(
  pen: Pen,
  move: {
    from: MoneyColumn
    to: MoneyColumn
    amountMinor: number
    onDate: CalendarDate
    words: string
  },
): Promise<string> {
  const { from, to, amountMinor, onDate, words } = move
  await checkHeld(pen.trx, from, amountMinor)
  const debitAccountId = await groupAccount(pen.trx, to)
  const creditAccountId = await groupAccount(pen.trx, from)
  return addTransfer(pen, { kind: 'move', debitAccountId, creditAccountId, amountMinor, onDate, words })
}
