import { InputError } from '../../../domain/input-error.ts'
import { may } from '../../../domain/people/permissions.ts'
import { filesAsked, type WaitingFile } from '../../book/joining/waiting-file.ts'
import { notCounting } from '../../book/names/counting.ts'
import { hasSecondOfficer } from '../../people/person/grave-store.ts'
import { findPerson, rolesOf } from '../../people/person/store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { previewOf } from './preview.ts'

type Asking = Pick<Desk, 'db' | 'at' | 'today' | 'person' | 'may'>

/**
 * Whether this visitor's name counts beside that of whoever brought a file and still may bring one: an officer's, or a member's
 * where there is no other officer.
 */
export async function mayJoinWith(desk: Asking, { personId }: Pick<WaitingFile, 'personId'>): Promise<boolean> {
  const { db, at, today, person } = desk
  if (person.id === personId || !desk.may('money.see-own')) return false
  const roles = await rolesOf(db, personId, today)
  if (!may({ roles, permission: 'group.set' })) return false
  const about = { writerId: personId, personId: null, at, today }
  if (!desk.may('office.give') && (await hasSecondOfficer(db, about))) return false
  return (await notCounting(db, person.id, at.toISOString())) === null
}

/** The files that wait for this visitor to join them. */
export async function filesToJoin(desk: Asking): Promise<(WaitingFile & { writerName: string })[]> {
  const waiting = []
  for (const file of filesAsked(desk)) if (await mayJoinWith(desk, file)) waiting.push(await withName(desk, file))
  return waiting
}

/** Each file that waits, with what it would bring, as whoever may join it and whoever brought it see it. */
export async function filesWaiting(desk: Asking & Pick<Desk, 't' | 'format' | 'locale' | 'request'>) {
  const waiting = []
  for (const file of filesAsked(desk)) {
    const joins = await mayJoinWith(desk, file)
    if (!joins && file.personId !== desk.person.id) continue
    waiting.push({ ...(await withName(desk, file)), ...(await broughtNow(desk, file, joins)) })
  }
  return waiting
}

/** What it would bring as both books stand now, or why it cannot be joined any more. */
async function broughtNow(desk: Parameters<typeof previewOf>[0], { bytes }: WaitingFile, joins: boolean) {
  try {
    return { joins, brings: await previewOf(desk, bytes), refused: null }
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return { joins: false, brings: null, refused: desk.t(`error.${error.code}`, error.values) }
  }
}

async function withName({ db }: Asking, file: WaitingFile) {
  return { ...file, writerName: found(await findPerson(db, file.personId)).name }
}
