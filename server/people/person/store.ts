import { rollup } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { hashHere, inChain, keepApart } from '../../book/check/apart.ts'
import { appendEntry, freshId, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { hasLeft, leftOn } from '../../book/names/counting.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface Person {
  id: Id<'person'>
  number: number
  name: string
  signInName: string | null
}

export interface NewPerson {
  number: number
  name: string
  phone: string | null
  signInName: string | null
  roles: readonly string[]
  passwordHash: string | null
  /** The minute of the meeting that took the person in, where it is told. */
  minute?: string | null
}

export const listPersons = readTogether('people', (db) => persons(db).orderBy('number'))

export async function findPerson(db: Database, id: string): Promise<Person | undefined> {
  return persons(db).where('entryId', '=', id).executeTakeFirst()
}

function persons(db: Database) {
  return db.selectFrom('person').where(standing('person')).select(['entryId as id', 'number', 'name', 'signInName'])
}

/** The telephone number as it is written down; what a visitor may see of it is told by `phoneSeen`. */
export async function phoneOf(db: Database, personId: Id<'person'>): Promise<string | null> {
  const row = await db
    .selectFrom('person')
    .select('phone')
    .where('entryId', '=', personId)
    .where(standing('person'))
    .executeTakeFirst()
  return row?.phone ?? null
}

/**
 * The roles in force on a day: the whole set that was written last; none of whoever has left. Before the first from-date, the first
 * set holds.
 */
export async function rolesOf(db: Database, personId: Id<'person'>, on: string): Promise<string[]> {
  const rows = (await writtenRoles(db)).filter((row) => row.personId === personId)
  return rows.length === 0 || (await hasLeft(db, personId, on)) ? [] : rolesIn(rows, on)
}

/** The roles of everybody who ever had one, by person. */
export async function allRoles(db: Database, on: string): Promise<Map<string, string[]>> {
  const rows = await writtenRoles(db)
  const left = await leftOn(db, on)
  return rollup(
    rows,
    (own) => (left.has(own[0]!.personId) ? [] : rolesIn(own, on)),
    (row): string => row.personId,
  )
}

const roleRows = readTogether('group', (db) =>
  db
    .selectFrom('personRole')
    .innerJoin('entry', 'entry.id', 'personRole.entryId')
    .select(['personRole.entryId', 'personId', 'role', 'fromOn', 'seq'])
    .where(standing('personRole'))
    .orderBy(asWritten),
)

function writtenRoles(db: Database) {
  return kept(db, 'roles', null, () => roleRows(db))
}

type RoleRow = Awaited<ReturnType<typeof writtenRoles>>[number]

function rolesIn(rows: readonly RoleRow[], on: string): string[] {
  const last = inForce(rows, on) ?? rows[0]
  return rows.filter((row) => row.entryId === last?.entryId).map((row) => row.role)
}

export async function nextPersonNumber(db: Database): Promise<number> {
  const row = await db
    .selectFrom('person')
    .select((eb) => eb.fn.max('number').as('last'))
    .executeTakeFirst()
  return (row?.last ?? 0) + 1
}

/** A person, the roles and, where there is one, the sign-in. */
export async function addPerson(pen: Pen, person: NewPerson, fromOn: CalendarDate, id = freshId(pen)): Promise<string> {
  const { number, name, phone, signInName, minute } = person
  await appendEntry(
    pen,
    { kind: 'person' },
    { person: [{ number, name, phone, signInName }], ...restingOn(minute ?? null) },
    id,
  )
  await setRoles(pen, id, person.roles, fromOn)
  if (person.passwordHash) await setPassword(pen, id, person.passwordHash)
  return id
}

export async function setRoles(
  pen: Pen,
  personId: Id<'person'>,
  roles: readonly string[],
  fromOn: CalendarDate,
): Promise<string> {
  const rows = roles.map((role) => ({ personId, role, fromOn }))
  return appendEntry(pen, { kind: 'roles', forPersonId: personId }, { personRole: rows })
}

export async function setPassword(pen: Pen, personId: Id<'person'>, passwordHash: string): Promise<string> {
  const credential = [{ personId, passwordHash: inChain(passwordHash) }]
  const id = await appendEntry(pen, { kind: 'password', forPersonId: personId }, { credential })
  await keepApart(pen, id, passwordHash)
  return id
}

/** The password hash of a person that was written last. */
export async function passwordHashOf(db: Database, personId: Id<'person'>): Promise<string | undefined> {
  const row = await db
    .selectFrom('credential')
    .innerJoin('entry', 'entry.id', 'credential.entryId')
    .select(hashHere.$notNull().as('passwordHash'))
    .where('personId', '=', personId)
    .where(hashHere, 'is not', null)
    .where(standing('credential'))
    .orderBy(asWritten, 'desc')
    .limit(1)
    .executeTakeFirst()
  return row?.passwordHash
}

/** The person behind a sign-in name, or behind the number where there is no name, with the password hash written last. */
export async function findSignIn(
  db: Database,
  signInName: string,
): Promise<{ id: Id<'person'>; passwordHash: string; isGiven: boolean } | undefined> {
  const row = await db
    .selectFrom('person')
    .innerJoin('credential', 'credential.personId', 'person.entryId')
    .innerJoin('entry', 'entry.id', 'credential.entryId')
    .select(['person.entryId as id', hashHere.$notNull().as('passwordHash'), 'entry.writtenBy'])
    .where(hashHere, 'is not', null)
    .where(({ eb, or, and }) =>
      or([
        eb('person.signInName', '=', signInName),
        and([eb('person.signInName', 'is', null), eb('person.number', '=', Number(signInName) || 0)]),
      ]),
    )
    .where(standing('person'))
    .where(standing('credential'))
    .orderBy(asWritten, 'desc')
    .limit(1)
    .executeTakeFirst()
  // What somebody else wrote is to be changed at the first sign-in.
  return row && { id: row.id, passwordHash: row.passwordHash, isGiven: row.writtenBy !== row.id }
}
