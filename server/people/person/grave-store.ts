import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { may, type Permission } from '../../../domain/people/permissions.ts'
import { inChain, keepApart } from '../../book/check/apart.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { NAME_NEEDED } from '../../book/name-needed.ts'
import { notCounting } from '../../book/names/counting.ts'
import { isNewBook } from '../../book/names/first-days.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { allRoles, setPassword, setRoles } from './store.ts'

/** By what a grave act about a person comes to hold: a second officer's name, or those of members whom a meeting named. */
export interface Agreed {
  minute: string | null
  memberIds: readonly Id<'person'>[]
}

/** Offices from a day on; while the book is new they hold at once, afterwards with the names they need. */
export async function giveOffice(
  pen: Pen,
  { personId, roles, fromOn }: { personId: Id<'person'>; roles: readonly string[]; fromOn: CalendarDate },
  agreed: Agreed,
): Promise<string> {
  if (await isNewBook(pen.trx, pen.writtenAt)) return setRoles(pen, personId, roles, fromOn)
  const personRole = roles.map((role) => ({ personId, role, fromOn }))
  return appendEntry(pen, { kind: 'office-given', forPersonId: personId }, { personRole, ...heldBack(agreed) })
}

/** Another sign-in at the person's wish, to be changed when it is first used. It holds with the names that it needs. */
export async function giveSignIn(
  pen: Pen,
  { personId, passwordHash }: { personId: Id<'person'>; passwordHash: string },
  agreed: Agreed,
): Promise<string> {
  if (await isNewBook(pen.trx, pen.writtenAt)) return setPassword(pen, personId, passwordHash)
  const credential = [{ personId, passwordHash: inChain(passwordHash) }]
  const head = { kind: 'sign-in-given', forPersonId: personId }
  const id = await appendEntry(pen, head, { credential, ...heldBack(agreed) })
  await keepApart(pen, id, passwordHash)
  return id
}

/** Somebody leaves, dies or is back from a day on; all that they did stays in the book. */
export async function writeLeaving(
  pen: Pen,
  { personId, fromOn, isBack }: { personId: Id<'person'>; fromOn: CalendarDate; isBack: boolean },
  agreed: Agreed,
): Promise<string> {
  const personLeft = [{ personId, fromOn, isBack: isBack ? 1 : 0 }]
  const head = { kind: 'person-left', forPersonId: personId }
  if (await isNewBook(pen.trx, pen.writtenAt)) return appendEntry(pen, head, { personLeft })
  return appendEntry(pen, head, { personLeft, ...heldBack(agreed) })
}

function heldBack({ minute, memberIds }: Agreed): Facts {
  return {
    ...NAME_NEEDED,
    ...restingOn(minute),
    meetingNamed: memberIds.map((personId) => ({ personId })),
  }
}

interface About {
  writerId: Id<'person'>
  /** Whom the act is about. */
  personId: Id<'person'> | null
  at: Date
  today: CalendarDate
}

/** Whether some officer, neither the writer nor the one concerned, can put a name under it. */
export async function hasSecondOfficer(
  db: Database,
  { writerId, personId, at, today }: About,
  permission: Permission = 'office.give',
): Promise<boolean> {
  for (const [id, roles] of await allRoles(db, today)) {
    if (id === writerId || id === personId || !may({ roles, permission })) continue
    if (!(await notCounting(db, id, at.toISOString())) && (await signsIn(db, id))) return true
  }
  return false
}

/** Whether anybody else signs in whose name could stand beside the visitor's: an officer, or in a small group a member. */
export function hasSecondName({
  db,
  person,
  at,
  today,
}: Pick<Desk, 'db' | 'person' | 'at' | 'today'>): Promise<boolean> {
  return hasSecondOfficer(db, { writerId: person.id, personId: null, at, today }, 'money.see-own')
}

/** Whether a member may stand in for an officer who is missing: neither writer nor concerned, known long enough, and here. */
export async function mayStandIn(
  db: Database,
  memberId: Id<'person'>,
  { writerId, personId, at }: About,
): Promise<boolean> {
  if (memberId === writerId || memberId === personId) return false
  return !(await notCounting(db, memberId, at.toISOString())) && (await signsIn(db, memberId))
}

async function signsIn(db: Database, personId: Id<'person'>): Promise<boolean> {
  const row = await db
    .selectFrom('credential')
    .select('personId')
    .where('personId', '=', personId)
    .where(standing('credential'))
    .executeTakeFirst()
  return row !== undefined
}

/** What is written about a person and waits for its names, first written first. */
export async function waitingAbout(db: Database, personId: Id<'person'>) {
  const rows = await db
    .selectFrom('entry')
    .innerJoin('nameNeeded', 'nameNeeded.entryId', 'entry.id')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['entry.id', 'entry.kind', 'entry.writtenAt', 'person.name as writerName'])
    .where('entry.kind', 'in', ['office-given', 'sign-in-given', 'person-left'])
    .where('entry.forPersonId', '=', personId)
    .orderBy(asWritten)
    .execute()
  return Promise.all(rows.map(async (row) => ({ ...row, ...(await toldOf(db, row.id)) })))
}

async function toldOf(db: Database, entryId: string) {
  const roles = await db.selectFrom('personRole').select(['role', 'fromOn']).where('entryId', '=', entryId).execute()
  const left = await db
    .selectFrom('personLeft')
    .select(['fromOn', 'isBack'])
    .where('entryId', '=', entryId)
    .executeTakeFirst()
  const minute = await db.selectFrom('restsOn').select('number').where('entryId', '=', entryId).executeTakeFirst()
  const members = await db
    .selectFrom('meetingNamed')
    .innerJoin('person', 'person.entryId', 'meetingNamed.personId')
    .select('person.name')
    .where('meetingNamed.entryId', '=', entryId)
    .orderBy('person.number')
    .execute()
  return {
    roles: roles.map(({ role }) => role),
    fromOn: roles[0]?.fromOn ?? left?.fromOn ?? null,
    isBack: left?.isBack === 1,
    minute: minute?.number ?? null,
    members: members.map(({ name }) => name),
  }
}

/** The person about whom an entry was written. */
export async function personOfMatter(db: Database, entryId: string): Promise<Id<'person'> | null> {
  const row = await db.selectFrom('entry').select('forPersonId').where('id', '=', entryId).executeTakeFirst()
  return row?.forPersonId ?? null
}
