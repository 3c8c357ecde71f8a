import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { isOffice } from '../../../domain/people/permissions.ts'
import type { Pen } from '../../book/entries.ts'
import { isNewBook } from '../../book/names/first-days.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { giveOffice, hasSecondOfficer } from './grave-store.ts'
import { addPerson, type NewPerson } from './store.ts'

/** Why nobody is written in with these roles now; a key of the catalogue, null when nothing is in the way. */
export async function officeTrouble(
  { db, person, at, today }: Pick<Desk, 'db' | 'person' | 'at' | 'today'>,
  roles: readonly string[],
): Promise<string | null> {
  if (!roles.some(isOffice) || (await isNewBook(db, at.toISOString()))) return null
  const named = await hasSecondOfficer(db, { writerId: person.id, personId: null, at, today })
  return named ? null : 'people.person.office-later'
}

/** Writes somebody in: as a member at once, with an office once it has the names that it needs. */
export async function writeIn(
  pen: Pen,
  { minute = null, ...person }: NewPerson & { minute?: string | null },
  today: CalendarDate,
): Promise<Id<'person'>> {
  const hasOffice = person.roles.some(isOffice) && !(await isNewBook(pen.trx, pen.writtenAt))
  if (!hasOffice) return addPerson(pen, { ...person, minute }, today)
  const others = person.roles.filter((role) => !isOffice(role))
  const id = await addPerson(pen, { ...person, minute, roles: others.length > 0 ? others : ['member'] }, today)
  await giveOffice(pen, { personId: id, roles: person.roles, fromOn: today }, { minute, memberIds: [] })
  return id
}
