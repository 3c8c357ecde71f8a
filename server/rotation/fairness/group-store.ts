import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The holder groups that the group itself wants to look at, by person, as they hold on a day. */
export async function holderGroupsOn(db: Database, on: string): Promise<Map<string, string[]>> {
  const rows = await db
    .selectFrom('holder_group')
    .innerJoin('entry', 'entry.id', 'holder_group.entry_id')
    .select(['holder_group.entry_id', 'person_id', 'from_on', 'name', 'seq'])
    .where(standing('holder_group'))
    .execute()
  const groups = new Map<string, string[]>()
  for (const personId of new Set(rows.map((row) => row.person_id))) {
    const own = rows.filter((row) => row.person_id === personId)
    const last = inForce(own, on)
    const names = own.flatMap((row) => (row.entry_id === last?.entry_id && row.name !== null ? [row.name] : []))
    if (names.length > 0) groups.set(personId, names.sort())
  }
  return groups
}

/** Writes the whole set of a person's groups; an empty set takes the person out of all. */
export async function setHolderGroups(
  pen: Pen,
  { personId, fromOn, names }: { personId: string; fromOn: string; names: readonly string[] },
): Promise<string> {
  const rows = (names.length > 0 ? names : [null]).map((name) => ({ person_id: personId, from_on: fromOn, name }))
  return appendEntry(pen, { kind: 'holder-groups', forPersonId: personId }, { holder_group: rows })
}
