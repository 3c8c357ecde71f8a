import { flatRollup } from 'd3-array'
import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import { isUnnamedJoining } from '../../book/merge/joiners-store.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { listTransfers, type WrittenTransfer } from '../ledger/transfer-store.ts'

/**
 * So many acts of a kind for which one person stands: work and classes fill or empty no box, so that no count would show that they never
 * were; a receipt that is taken back, or a fee that a wallet took, empties a box in the book alone; a debt from before the book has no
 * paper here; what somebody brought from another device holds in the name that its file gives it.
 */
export interface OneName {
  what: 'in-kind' | 'class' | 'receipt-undone' | 'held-fee' | 'from-before' | 'joined'
  writerName: string
  count: number
  /** What they come to; left out in periods that were closed before it was told. */
  amountMinor?: number
}

interface Period {
  from: CalendarDate
  to: CalendarDate
}

/** Such acts by whoever wrote or joined them, of a period; for the second name under its closing. */
export async function actsOfOneName(db: Database, { from, to }: Period): Promise<OneName[]> {
  const rows: Act[] = await actsWritten(db, { from, to }).execute()
  return flatRollup(
    [...rows, ...inLedger(await listTransfers(db), { from, to })],
    (own) => ({ count: own.length, amountMinor: sum(own, ({ amountMinor }) => amountMinor) }),
    ({ what }) => what,
    ({ writerName }) => writerName,
  ).map(([what, writerName, told]) => ({ what, writerName, ...told }))
}

/** Those that are no transfers. */
export function actsWritten(db: Database, { from, to }: Period) {
  const inKind = db
    .selectFrom('kindPayment')
    .innerJoin('transfer', 'transfer.entryId', 'kindPayment.entryId')
    .innerJoin('entry', 'entry.id', 'kindPayment.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['person.name as writerName', sql<Act['what']>`'in-kind'`.as('what'), 'amountMinor'])
    .where('onDate', '>=', from)
    .where('onDate', '<=', to)
    .where(standing('kindPayment'))
  const classes = db
    .selectFrom('payerClass')
    .innerJoin('entry', 'entry.id', 'payerClass.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['person.name as writerName', sql<Act['what']>`'class'`.as('what'), sql<number>`0`.as('amountMinor')])
    .where('fromOn', '>=', from)
    .where('fromOn', '<=', to)
    .where(standing('payerClass'))
  const joined = db
    .selectFrom('broughtRuling')
    .innerJoin('transfer', 'transfer.entryId', 'broughtRuling.broughtId')
    .innerJoin('entry', 'entry.id', 'broughtRuling.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['person.name as writerName', sql<Act['what']>`'joined'`.as('what'), 'amountMinor'])
    .where('onDate', '>=', from)
    .where('onDate', '<=', to)
    .where(isUnnamedJoining)
  return inKind.unionAll(classes).unionAll(joined)
}

type Act = Pick<OneName, 'what' | 'writerName'> & { amountMinor: number }

/** Receipts that were taken back or moved, what a wallet or bank took for itself, and what was owed before the book. */
function inLedger(transfers: readonly WrittenTransfer[], { from, to }: Period): Act[] {
  const receipts = new Set(transfers.flatMap(({ id, kind }) => (kind === 'receipt' ? id : [])))
  // Until money moves a group writes down how it begins. What is dated before the book belongs to the days in which it was written.
  const begun = transfers.findIndex(({ kind }) => kind !== 'opening')
  const within = (day: string) => day >= from && day <= to
  return transfers.flatMap(({ kind, on, writtenAt, correctsId, writerName, amountMinor }, at): Act[] => {
    const act = (what: Act['what']) => [{ what, writerName, amountMinor }]
    if (kind === 'opening') return at > begun && begun >= 0 && within(writtenAt.slice(0, 10)) ? act('from-before') : []
    if (!within(on)) return []
    if (kind === 'cost') return act('held-fee')
    return correctsId !== null && receipts.has(correctsId) ? act('receipt-undone') : []
  })
}
