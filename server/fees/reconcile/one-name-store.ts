import { flatRollup } from 'd3-array'
import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import { isUnnamedJoining } from '../../book/merge/joiners-store.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/**
 * So many acts of a kind for which one person stands: work and classes fill or empty no box, so that no count would show that they never
 * were; a receipt that is taken back empties the box in the book alone, and the payer of one may have gone home; what somebody brought
 * from another device holds in the name that its file gives it.
 */
export interface OneName {
  what: 'in-kind' | 'class' | 'receipt-undone' | 'joined'
  writerName: string
  count: number
  /** What they come to; only for receipts that were taken back. */
  amountMinor?: number
}

/**
 * Payments in work or produce, classes of payers, receipts that were taken back or moved, and lines of the ledger that a joining brought under which nobody else's name stands yet,
 * by whoever wrote or joined them, of a period; for the second name under its closing.
 */
export async function actsOfOneName(
  db: Database,
  { from, to }: { from: CalendarDate; to: CalendarDate },
): Promise<OneName[]> {
  const inKind = db
    .selectFrom('kindPayment')
    .innerJoin('transfer', 'transfer.entryId', 'kindPayment.entryId')
    .innerJoin('entry', 'entry.id', 'kindPayment.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['person.name as writerName', sql<OneName['what']>`'in-kind'`.as('what'), sql<number>`0`.as('minor')])
    .where('onDate', '>=', from)
    .where('onDate', '<=', to)
    .where(standing('kindPayment'))
  const classes = db
    .selectFrom('payerClass')
    .innerJoin('entry', 'entry.id', 'payerClass.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['person.name as writerName', sql<OneName['what']>`'class'`.as('what'), sql<number>`0`.as('minor')])
    .where('fromOn', '>=', from)
    .where('fromOn', '<=', to)
    .where(standing('payerClass'))
  const undone = db
    .selectFrom('transfer as back')
    .innerJoin('entry', 'entry.id', 'back.entryId')
    .innerJoin('transfer as receipt', 'receipt.entryId', 'entry.correctsId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select([
      'person.name as writerName',
      sql<OneName['what']>`'receipt-undone'`.as('what'),
      'back.amountMinor as minor',
    ])
    .where('receipt.kind', '=', 'receipt')
    .where('back.onDate', '>=', from)
    .where('back.onDate', '<=', to)
  const joined = db
    .selectFrom('broughtRuling')
    .innerJoin('transfer', 'transfer.entryId', 'broughtRuling.broughtId')
    .innerJoin('entry', 'entry.id', 'broughtRuling.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['person.name as writerName', sql<OneName['what']>`'joined'`.as('what'), sql<number>`0`.as('minor')])
    .where('onDate', '>=', from)
    .where('onDate', '<=', to)
    .where(isUnnamedJoining)
  const rows = await inKind.unionAll(classes).unionAll(undone).unionAll(joined).execute()
  return flatRollup(
    rows,
    (own) => ({ count: own.length, amountMinor: sum(own, ({ minor }) => minor) }),
    ({ what }) => what,
    ({ writerName }) => writerName,
  ).map(([what, writerName, { count, amountMinor }]) =>
    what === 'receipt-undone' ? { what, writerName, count, amountMinor } : { what, writerName, count },
  )
}
