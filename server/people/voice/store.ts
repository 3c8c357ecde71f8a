import type { Instant } from '../../../domain/calendar.ts'
import type { ClipKey } from '../../../domain/people/voice/clips.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface Recorded {
  entryId: string
  language: string
  clip: ClipKey
  by: string
  at: Instant
}

/** By language (BCP 47) and clip, who recorded it last and when; of a clip that was recorded again, the last counts. */
type Recordings = ReadonlyMap<string, ReadonlyMap<ClipKey, Recorded>>

/** Writes clips of one language; those of the same name before them are heard no more and stay in the book. */
export async function recordClips(
  pen: Pen,
  language: string,
  clips: readonly { clip: ClipKey; sound: Buffer }[],
): Promise<string> {
  const rows = clips.map(({ clip, sound }) => ({ language, clip, sound }))
  return appendEntry(pen, { kind: 'voice-recorded' }, { voiceClip: rows })
}

export function recordings(db: Database): Promise<Recordings> {
  return kept(db, 'voice', null, () => readRecordings(db))
}

const clipRows = readTogether('people', (db) =>
  db
    .selectFrom('voiceClip')
    .innerJoin('entry', 'entry.id', 'voiceClip.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['voiceClip.entryId', 'language', 'clip', 'person.name as by', 'entry.writtenAt as at'])
    .where(standing('voiceClip'))
    .orderBy(asWritten),
)

async function readRecordings(db: Database): Promise<Recordings> {
  const rows = await clipRows(db)
  const byLanguage = new Map<string, Map<ClipKey, Recorded>>()
  for (const row of rows) {
    const own = byLanguage.get(row.language) ?? new Map<ClipKey, Recorded>()
    byLanguage.set(row.language, own.set(row.clip, row))
  }
  return byLanguage
}

/** The sounds of some clips, by their names. */
export async function soundsOf(db: Database, clips: readonly Recorded[]): Promise<Map<ClipKey, Buffer>> {
  if (clips.length === 0) return new Map()
  const rows = await db
    .selectFrom('voiceClip')
    .select(['entryId', 'clip', 'sound'])
    .where('language', '=', clips[0]!.language)
    .where('entryId', 'in', [...new Set(clips.map(({ entryId }) => entryId))])
    .where('clip', 'in', [...new Set(clips.map(({ clip }) => clip))])
    .execute()
  const last = new Map(clips.map(({ clip, entryId }) => [clip, entryId]))
  return new Map(rows.filter(({ clip, entryId }) => last.get(clip) === entryId).map(({ clip, sound }) => [clip, sound]))
}
