import type { FastifyRequest } from 'fastify'
import type { Id } from '../../../domain/id.ts'
import { forgetSecret, giveCookie, readCookie } from '../../web/pages/cookies.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { newDeviceKey } from '../device/store.ts'
import { hashOfKey, passwordFits } from '../password.ts'
import { passwordHashOf } from '../person/store.ts'
import { tellTry, triesSince } from './door-store.ts'
import { REMEMBERED_MS, SlowDown } from './slow-down.ts'
import { startSession } from './store.ts'

const DAYS_KNOWN = 400
const MOST_KNOWN = 2_000

/** What a door remembers: misses, those of before the last start too, and which devices it let in under which name since. */
interface Door {
  slow: SlowDown
  known: Set<string>
}
const doors = new WeakMap<object, Promise<Door>>()

function doorOf(desk: Pick<Desk, 'db' | 'parts' | 'at'>): Promise<Door> {
  const door = doors.get(desk.db) ?? openDoor(desk)
  doors.set(desk.db, door)
  return door
}

async function openDoor({ db, parts, at }: Pick<Desk, 'db' | 'parts' | 'at'>): Promise<Door> {
  const slow = new SlowDown(parts.wait ?? pause)
  slow.takeUp(await triesSince(db, new Date(at.getTime() - REMEMBERED_MS)))
  return { slow, known: new Set() }
}

const pause = (seconds: number) => new Promise<void>((done) => setTimeout(done, seconds * 1000).unref())

/** Tries a password under a name: slowly after misses, never not at all. */
export async function tryAtDoor(desk: Desk, name: string, attempt: () => Promise<boolean>): Promise<boolean> {
  const { request, at } = desk
  const { slow, known } = await doorOf(desk)
  const device = knownKey(request, name)
  const from = device && known.has(device) ? device : request.ip
  return slow.inLine({ name: name.toLowerCase(), from, address: request.ip, at }, attempt)
}

/** Whether somebody who is signed in typed their own password; as slow after misses as the door. */
export async function isOwnPassword(desk: Desk, password: string): Promise<boolean> {
  const { id } = desk.person
  const known = await passwordHashOf(desk.db, id)
  return known !== undefined && tryAtDoor(desk, `own ${id}`, () => passwordFits(known, password))
}

function knownKey(request: FastifyRequest, name: string): string | null {
  const key = readCookie(request, 'known')
  return key ? hashOfKey(`${key} ${name.toLowerCase()}`) : null
}

interface Entering {
  personId: Id<'person'>
  isShared: boolean
  mustChoose?: boolean
  /** The name that was typed, where one was. */
  name?: string
}

/** Lets somebody in: a new session and a new anti-forgery secret; whatever session the browser had before ends. */
export async function letIn(desk: Desk, { personId, isShared, mustChoose, name }: Entering): Promise<void> {
  const { db, at, parts, request, reply } = desk
  const key = await startSession(db, {
    personId,
    at,
    isShared,
    mustChoose,
    ownIdleMinutes: parts.idleMinutes,
    address: request.ip,
    before: readCookie(request, 'session'),
  })
  giveCookie(reply, 'session', key)
  forgetSecret(reply)
  await tellTry(db, { kind: 'signed-in', personId, request })
  if (name !== undefined) await remember(desk, name)
}

async function remember(desk: Desk, name: string): Promise<void> {
  const { known } = await doorOf(desk)
  const key = readCookie(desk.request, 'known') ?? newDeviceKey()
  giveCookie(desk.reply, 'known', key, DAYS_KNOWN)
  known.add(hashOfKey(`${key} ${name.toLowerCase()}`))
  for (const oldest of known) {
    if (known.size <= MOST_KNOWN) break
    known.delete(oldest)
  }
}
