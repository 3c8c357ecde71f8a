import { group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { PayerClass } from '../tariff/store.ts'

export async function setPayerClass(
  pen: Pen,
  { personId, payerClass, fromOn }: { personId: string; payerClass: PayerClass | null; fromOn: CalendarDate },
): Promise<string> {
  const row = { person_id: personId, class: payerClass, from_on: fromOn }
  return appendEntry(pen, { kind: 'payer-class', forPersonId: personId }, { payer_class: [row] })
}

/** Which class of payer a person is on a day; null for everyone who is of none. */
export async function payerClasses(db: Database): Promise<(personId: string, on: CalendarDate) => string | null> {
  const rows = await db
    .selectFrom('payer_class')
    .innerJoin('entry', 'entry.id', 'payer_class.entry_id')
    .where(standing('payer_class'))
    .select(['person_id', 'class', 'from_on', 'seq'])
    .execute()
  const byPerson = group(rows, (row) => row.person_id)
  return (personId, on) => inForce(byPerson.get(personId) ?? [], on)?.class ?? null
}

/** What was agreed for each turn, so that a cut turn costs its part. */
export async function plannedVolumes(db: Database): Promise<Map<string, number>> {
  const rows = await db.selectFrom('turn').select(['id', 'volume_m3']).execute()
  return new Map(rows.map((row) => [row.id, row.volume_m3]))
}
