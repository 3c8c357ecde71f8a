import { flatRollup } from 'd3-array'
import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { isUnnamedJoining } from '../../book/merge/joiners-store.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/**
 * So many acts of a kind for which one person stands: work and classes fill or empty no box, so that no count would show that they never
 * were; what somebody brought from another device holds in the name that its file gives it.
 */
export interface OneName {
  what: 'in-kind' | 'class' | 'joined'
  writerName: string
  count: number
}

/**
 * Payments in work or produce, classes of payers, and lines of the ledger that a joining brought under which nobody else's name stands yet,
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
    .select(['person.name as writerName', sql<OneName['what']>`'in-kind'`.as('what')])
    .where('onDate', '>=', from)
    .where('onDate', '<=', to)
    .where(standing('kindPayment'))
  const classes = db
    .selectFrom('payerClass')
    .innerJoin('entry', 'entry.id', 'payerClass.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['person.name as writerName', sql<OneName['what']>`'class'`.as('what')])
    .where('fromOn', '>=', from)
    .where('fromOn', '<=', to)
    .where(standing('payerClass'))
  const joined = db
    .selectFrom('broughtRuling')
    .innerJoin('transfer', 'transfer.entryId', 'broughtRuling.broughtId')
    .innerJoin('entry', 'entry.id', 'broughtRuling.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['person.name as writerName', sql<OneName['what']>`'joined'`.as('what')])
    .where('onDate', '>=', from)
    .where('onDate', '<=', to)
    .where(isUnnamedJoining)
  const rows = await inKind.unionAll(classes).unionAll(joined).execute()
  return flatRollup(
    rows,
    (own) => own.length,
    ({ what }) => what,
    ({ writerName }) => writerName,
  ).map(([what, writerName, count]) => ({ what, writerName, count }))
}
