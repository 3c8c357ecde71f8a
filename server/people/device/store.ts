import { randomBytes } from 'node:crypto'
import type { Instant } from '../../../domain/calendar.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { NAME_NEEDED } from '../../book/name-needed.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { hashOfKey } from '../password.ts'

interface SharedDevice {
  id: string
  name: string
  registeredBy: string
  at: Instant
  /** False while the second name is missing. */
  isNamed: boolean
  endedBy: string | null
}

export function newDeviceKey(): string {
  return randomBytes(32).toString('base64url')
}

/** Registers a device that holds the key; it counts once a second officer's name stands under it. */
export async function registerDevice(pen: Pen, { name, key }: { name: string; key: string }): Promise<string> {
  const facts = { sharedDevice: [{ name, keyHash: hashOfKey(key) }], ...NAME_NEEDED }
  return appendEntry(pen, { kind: 'device-registered' }, facts)
}

/** Ends a registration for good: nobody signs in there by a code any more. */
export async function endDevice(pen: Pen, deviceId: string): Promise<string> {
  return appendEntry(pen, { kind: 'device-ended' }, { sharedDeviceEnd: [{ deviceId }] })
}

/** Whether the device that holds the key is registered with two names and was not ended. */
export async function isRegistered(db: Database, key: string | undefined): Promise<boolean> {
  if (!key) return false
  const row = await db
    .selectFrom('sharedDevice')
    .select('entryId')
    .where('keyHash', '=', hashOfKey(key))
    .where(standing('sharedDevice'))
    .where('entryId', 'not in', db.selectFrom('sharedDeviceEnd').select('deviceId').where(standing('sharedDeviceEnd')))
    .executeTakeFirst()
  return row !== undefined
}

/** Every device that was ever registered or waits for its second name, last first. */
export async function listDevices(db: Database): Promise<SharedDevice[]> {
  const rows = await db
    .selectFrom('sharedDevice')
    .innerJoin('entry', 'entry.id', 'sharedDevice.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['sharedDevice.entryId as id', 'sharedDevice.name', 'person.name as registeredBy', 'entry.writtenAt as at'])
    .orderBy(asWritten, 'desc')
    .execute()
  const named = await db.selectFrom('sharedDevice').select('entryId').where(standing('sharedDevice')).execute()
  const ends = await db
    .selectFrom('sharedDeviceEnd')
    .innerJoin('entry', 'entry.id', 'sharedDeviceEnd.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['deviceId', 'person.name'])
    .where(standing('sharedDeviceEnd'))
    .execute()
  return rows.map((row) => ({
    ...row,
    isNamed: named.some(({ entryId }) => entryId === row.id),
    endedBy: ends.find(({ deviceId }) => deviceId === row.id)?.name ?? null,
  }))
}
