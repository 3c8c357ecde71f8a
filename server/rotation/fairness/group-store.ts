import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

const groupRows = readTogether('turns', (db) =>
  db
    .selectFrom('holderGroup')
    .innerJoin('entry', 'entry.id', 'holderGroup.entryId')
    .select(['holderGroup.entryId', 'personId', 'fromOn', 'name', 'seq'])
    .where(standing('holderGroup')),
)

/** The holder groups that the group itself wants to look at, by person, as they hold on a day. */
export async function holderGroupsOn(db: Database, on: string): Promise<Map<string, string[]>> {
  const rows = await groupRows(db)
  const groups = new Map<string, string[]>()
  for (const personId of new Set(rows.map((row) => row.personId))) {
    const own = rows.filter((row) => row.personId === personId)
    const last = inForce(own, on)
    const names = own.flatMap((row) => (row.entryId === last?.entryId && row.name !== null ? [row.name] : []))
    if (names.length > 0) groups.set(personId, names.sort())
  }
  return groups
}

/** Writes the whole set of a person's groups; an empty set takes the person out of all. */
export async function setHolderGroups(
  pen: Pen,
  { personId, fromOn, names }: { personId: Id<'person'>; fromOn: CalendarDate; names: readonly string[] },
): Promise<string> {
  const rows = (names.length > 0 ? names : [null]).map((name) => ({ personId, fromOn, name }))
  return appendEntry(pen, { kind: 'holder-groups', forPersonId: personId }, { holderGroup: rows })
}
