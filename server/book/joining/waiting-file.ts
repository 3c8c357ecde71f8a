import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { newId } from '../entries.ts'

/** So long the file of another device is kept for the second officer. Own choice, no source. */
const HOURS_KEPT = 12

/** The file of another device, and whoever brought it. */
export interface WaitingFile {
  key: string
  bytes: Buffer
  personId: Id<'person'>
  until: Date
  /** Whether another officer is asked to join it; before that only whoever brought it looks at it. */
  isAsked: boolean
}

const files = new WeakMap<Database, readonly WaitingFile[]>()

function keptOn({ db, at }: { db: Database; at: Date }): readonly WaitingFile[] {
  return (files.get(db) ?? []).filter(({ until }) => until > at)
}

/** Keeps a file that somebody brought, in place of the one that they brought before. Not in the book: it may never be joined. */
export function keepFile(
  { db, at }: { db: Database; at: Date },
  { bytes, personId }: Pick<WaitingFile, 'bytes' | 'personId'>,
): string {
  const key = newId()
  const until = new Date(at.getTime() + HOURS_KEPT * 3_600_000)
  const others = keptOn({ db, at }).filter((file) => file.personId !== personId)
  files.set(db, [...others, { key, bytes, personId, until, isAsked: false }])
  return key
}

/** Undefined when it was kept too long, joined meanwhile, or the app was started anew. */
export function fileKept(at: { db: Database; at: Date }, key: string): WaitingFile | undefined {
  return keptOn(at).find((file) => file.key === key)
}

/** Asks for another officer's name under a file. */
export function askToJoin(at: { db: Database; at: Date }, key: string): void {
  files.set(
    at.db,
    keptOn(at).map((file) => (file.key === key ? { ...file, isAsked: true } : file)),
  )
}

/** The files that wait for another officer. */
export function filesAsked(at: { db: Database; at: Date }): readonly WaitingFile[] {
  return keptOn(at).filter(({ isAsked }) => isAsked)
}

export function dropFile({ db, at }: { db: Database; at: Date }, key: string): void {
  files.set(
    db,
    keptOn({ db, at }).filter((file) => file.key !== key),
  )
}
