import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { PayerClass } from '../tariff/store.ts'

export async function setPayerClass(
  pen: Pen,
  { personId, payerClass, fromOn }: { personId: Id<'person'>; payerClass: PayerClass | null; fromOn: CalendarDate },
  minute: string | null = null,
): Promise<string> {
  const row = { personId, class: payerClass, fromOn }
  return appendEntry(pen, { kind: 'payer-class', forPersonId: personId }, { payerClass: [row], ...restingOn(minute) })
}

const classRows = readTogether('money', (db) =>
  db
    .selectFrom('payerClass')
    .innerJoin('entry', 'entry.id', 'payerClass.entryId')
    .where(standing('payerClass'))
    .select(['personId', 'class', 'fromOn', 'seq']),
)

/** Which class of payer a person is on a day; null for everyone who is of none. */
export async function payerClasses(db: Database): Promise<(personId: Id<'person'>, on: CalendarDate) => string | null> {
  const rows = await classRows(db)
  const byPerson = group(rows, (row) => row.personId)
  return (personId, on) => inForce(byPerson.get(personId) ?? [], on)?.class ?? null
}

/** What was agreed for each turn, so that a cut turn costs its part. */
export async function plannedVolumes(db: Database): Promise<Map<string, number>> {
  const rows = await db.selectFrom('turn').select(['id', 'volumeM3']).execute()
  return new Map(rows.map((row) => [row.id, row.volumeM3]))
}
