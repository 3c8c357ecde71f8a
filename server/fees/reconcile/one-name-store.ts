import { rollups } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { joinersOf } from '../../book/merge/joiners-store.ts'
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
  const joined = await broughtMoney(db, { from, to })
  return [...byWriter('in-kind', inKind), ...byWriter('class', classes), ...byWriter('joined', joined)]
}

/** Lines of the ledger that a joining brought under which nobody else's name stands yet, by whoever joined. */
async function broughtMoney(
  db: Database,
  { from, to }: { from: CalendarDate; to: CalendarDate },
): Promise<{ writerName: string }[]> {
  const rows = await db
    .selectFrom('broughtRuling')
    .innerJoin('transfer', 'transfer.entryId', 'broughtRuling.broughtId')
    .innerJoin('entry', 'entry.id', 'broughtRuling.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['broughtId', 'person.name as writerName'])
    .where('onDate', '>=', from)
    .where('onDate', '<=', to)
    .execute()
  const waiting = await joinersOf(
    db,
    rows.map(({ broughtId }) => broughtId),
  )
  return rows.filter(({ broughtId }) => waiting.has(broughtId))
}

function byWriter(what: OneName['what'], written: readonly { writerName: string }[]): OneName[] {
  return rollups(
    written,
    (own) => own.length,
    ({ writerName }) => writerName,
  ).map(([writerName, count]) => ({ what, writerName, count }))
}
