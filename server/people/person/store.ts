import { appendEntry, freshId, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface Person {
  id: string
  number: number
  name: string
  phone: string | null
  signInName: string | null
}

export interface NewPerson {
  number: number
  name: string
  phone: string | null
  signInName: string | null
  roles: readonly string[]
  passwordHash: string | null
}

export async function listPersons(db: Database): Promise<Person[]> {
  return persons(db).orderBy('number').execute()
}

export async function findPerson(db: Database, id: string): Promise<Person | undefined> {
  return persons(db).where('entry_id', '=', id).executeTakeFirst()
}

function persons(db: Database) {
  return db
    .selectFrom('person')
    .where(standing('person'))
    .select(['entry_id as id', 'number', 'name', 'phone', 'sign_in_name as signInName'])
}

/** The roles in force on a day: the whole set that was written last. Before the first from-date, the first set holds. */
export async function rolesOf(db: Database, personId: string, on: string): Promise<string[]> {
  const rows = await db
    .selectFrom('person_role')
    .innerJoin('entry', 'entry.id', 'person_role.entry_id')
    .select(['person_role.entry_id', 'role', 'from_on', 'seq'])
    .where('person_id', '=', personId)
    .where(standing('person_role'))
    .orderBy('seq')
    .execute()
  const last = inForce(rows, on) ?? rows[0]
  return rows.filter((row) => row.entry_id === last?.entry_id).map((row) => row.role)
}

export async function allRoles(db: Database, on: string): Promise<Map<string, string[]>> {
  const ids = await db.selectFrom('person').select('entry_id').execute()
  const roles = new Map<string, string[]>()
  for (const { entry_id } of ids) roles.set(entry_id, await rolesOf(db, entry_id, on))
  return roles
}

export async function nextPersonNumber(db: Database): Promise<number> {
  const row = await db
    .selectFrom('person')
    .select((eb) => eb.fn.max('number').as('last'))
    .executeTakeFirst()
  return (row?.last ?? 0) + 1
}

/** A person, the roles and, where there is one, the sign-in. */
export async function addPerson(pen: Pen, person: NewPerson, fromOn: string, id = freshId(pen)): Promise<string> {
  const { number, name, phone, signInName } = person
  await appendEntry(pen, { kind: 'person' }, { person: [{ number, name, phone, sign_in_name: signInName }] }, id)
  await setRoles(pen, id, person.roles, fromOn)
  if (person.passwordHash) await setPassword(pen, id, person.passwordHash)
  return id
}

export async function setRoles(pen: Pen, personId: string, roles: readonly string[], fromOn: string): Promise<string> {
  const rows = roles.map((role) => ({ person_id: personId, role, from_on: fromOn }))
  return appendEntry(pen, { kind: 'roles', forPersonId: personId }, { person_role: rows })
}

export async function setPassword(pen: Pen, personId: string, passwordHash: string): Promise<string> {
  return appendEntry(
    pen,
    { kind: 'password', forPersonId: personId },
    { credential: [{ person_id: personId, password_hash: passwordHash }] },
  )
}

/** The password hash of a person that was written last. */
export async function passwordHashOf(db: Database, personId: string): Promise<string | undefined> {
  const row = await db
    .selectFrom('credential')
    .innerJoin('entry', 'entry.id', 'credential.entry_id')
    .select('password_hash')
    .where('person_id', '=', personId)
    .orderBy('entry.seq', 'desc')
    .limit(1)
    .executeTakeFirst()
  return row?.password_hash
}

/** The person behind a sign-in name, with the password hash written last. */
export async function findSignIn(
  db: Database,
  signInName: string,
): Promise<{ id: string; passwordHash: string } | undefined> {
  return db
    .selectFrom('person')
    .innerJoin('credential', 'credential.person_id', 'person.entry_id')
    .innerJoin('entry', 'entry.id', 'credential.entry_id')
    .select(['person.entry_id as id', 'credential.password_hash as passwordHash'])
    .where('person.sign_in_name', '=', signInName)
    .orderBy('entry.seq', 'desc')
    .limit(1)
    .executeTakeFirst()
}
