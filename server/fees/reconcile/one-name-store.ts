import { rollups } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** So many acts of a kind that one person wrote and that fill or empty no box: no count would show that they never were. */
export interface OneName {
  what: 'in-kind' | 'class'
  writerName: string
  count: number
}

/** Payments in work or produce, and classes of payers, by whoever wrote them in a period; for the second name under its closing. */
export async function actsOfOneName(
  db: Database,
  { from, to }: { from: CalendarDate; to: CalendarDate },
): Promise<OneName[]> {
  const inKind = await db
    .selectFrom('kindPayment')
    .innerJoin('transfer', 'transfer.entryId', 'kindPayment.entryId')
    .innerJoin('entry', 'entry.id', 'kindPayment.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select('person.name as writerName')
    .where('onDate', '>=', from)
    .where('onDate', '<=', to)
    .where(standing('kindPayment'))
    .execute()
  const classes = await db
    .selectFrom('payerClass')
    .innerJoin('entry', 'entry.id', 'payerClass.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select('person.name as writerName')
    .where('fromOn', '>=', from)
    .where('fromOn', '<=', to)
    .where(standing('payerClass'))
    .execute()
  return [...byWriter('in-kind', inKind), ...byWriter('class', classes)]
}

function byWriter(what: OneName['what'], written: readonly { writerName: string }[]): OneName[] {
  return rollups(
    written,
    (own) => own.length,
    ({ writerName }) => writerName,
  ).map(([writerName, count]) => ({ what, writerName, count }))
}
