import type { CalendarDate } from '../../../domain/calendar.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** Somebody who asks to be taken in, with the land (m2), shares and persons that they would bring. */
interface NewApplicant {
  name: string
  askedOn: CalendarDate
  areaM2: number
  shares: number
  persons: number
  words: string | null
}

export interface Applicant extends NewApplicant {
  id: string
  /** Null while they wait. */
  end: { takenIn: boolean; words: string } | null
}

export async function writeApplicant(
  pen: Pen,
  applicant: NewApplicant,
  asked: Pick<Facts, 'askedThrough'> = {},
): Promise<string> {
  const { name, askedOn, areaM2, shares, persons, words } = applicant
  const row = { name, askedOn, areaM2, shares, persons, words }
  return appendEntry(pen, { kind: 'applicant' }, { applicant: [row], ...asked })
}

/** Taken in by a minute, or off the list. */
export async function endApplicant(
  pen: Pen,
  applicantId: string,
  { takenIn, words, minute }: { takenIn: boolean; words: string; minute: string | null },
): Promise<string> {
  const row = { applicantId, takenIn: takenIn ? 1 : 0, words }
  const kind = takenIn ? 'applicant-taken-in' : 'applicant-off'
  return appendEntry(pen, { kind }, { applicantEnd: [row], ...restingOn(minute) })
}

/** Everybody who ever asked, in the order of asking. */
export async function listApplicants(db: Database): Promise<Applicant[]> {
  const rows = await db
    .selectFrom('applicant')
    .innerJoin('entry', 'entry.id', 'applicant.entryId')
    .selectAll('applicant')
    .where(standing('applicant'))
    .orderBy('askedOn')
    .orderBy(asWritten)
    .execute()
  const ends = await db.selectFrom('applicantEnd').selectAll().where(standing('applicantEnd')).execute()
  return rows.map(({ entryId, ...row }) => {
    const end = ends.find(({ applicantId }) => applicantId === entryId)
    return { ...row, id: entryId, end: end ? { takenIn: end.takenIn === 1, words: end.words } : null }
  })
}
