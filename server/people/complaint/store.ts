import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { HearingBody } from '../../../domain/people/ladder.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface NewComplaint {
  byId: Id<'person'>
  words: string
  saidOn: CalendarDate
  /** Who or what it is about, where it is about a person or a plot. */
  aboutId: Id<'person'> | null
  plotId: Id<'plot'> | null
}

interface NewHearing {
  heardOn: CalendarDate
  body: HearingBody
  bothHeard: boolean
  outcome: string
  /** False where it goes on to another body. */
  ends: boolean
}

interface Hearing extends NewHearing {
  id: string
  writerName: string
}

export interface Complaint extends NewComplaint {
  id: string
  byName: string
  aboutName: string | null
  plotNumber: number | null
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
  hearings: Hearing[]
  /** Heard, and not gone on to another body. */
  isSettled: boolean
}

export async function writeComplaint(
  pen: Pen,
  complaint: NewComplaint,
  asked: Pick<Facts, 'askedThrough'> = {},
): Promise<string> {
  const { byId, words, saidOn, aboutId, plotId } = complaint
  const row = { byId, words, saidOn, aboutId, plotId }
  return appendEntry(pen, { kind: 'complaint', forPersonId: byId }, { complaint: [row], ...asked })
}

export async function writeHearing(pen: Pen, { id, byId }: Complaint, hearing: NewHearing, minute: string | null) {
  const { heardOn, body, bothHeard, outcome, ends } = hearing
  const row = { complaintId: id, heardOn, body, bothHeard: bothHeard ? 1 : 0, outcome, ends: ends ? 1 : 0 }
  const head = { kind: 'complaint-heard', forPersonId: byId }
  return appendEntry(pen, head, { complaintHearing: [row], ...restingOn(minute) })
}

/** Every complaint with its hearings, the last said first. */
export async function listComplaints(db: Database): Promise<Complaint[]> {
  const rows = await db
    .selectFrom('complaint')
    .innerJoin('entry', 'entry.id', 'complaint.entryId')
    .innerJoin('person as by', 'by.entryId', 'complaint.byId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .leftJoin('person as about', 'about.entryId', 'complaint.aboutId')
    .leftJoin('plot', 'plot.entryId', 'complaint.plotId')
    .selectAll('complaint')
    .select(['by.name as byName', 'about.name as aboutName', 'plot.number as plotNumber'])
    .select(['writer.name as writerName', 'entry.writtenBy as writerId', 'entry.writtenAt'])
    .where(standing('complaint'))
    .orderBy('saidOn', 'desc')
    .orderBy(asWritten, 'desc')
    .execute()
  const hearings = await db
    .selectFrom('complaintHearing')
    .innerJoin('entry', 'entry.id', 'complaintHearing.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .selectAll('complaintHearing')
    .select('person.name as writerName')
    .where(standing('complaintHearing'))
    .orderBy(asWritten)
    .execute()
  return rows.map(({ entryId, ...row }) => {
    const own = hearings
      .filter(({ complaintId }) => complaintId === entryId)
      .map(({ entryId: id, bothHeard, ends, ...one }) => ({ ...one, id, bothHeard: bothHeard === 1, ends: ends === 1 }))
    return { ...row, id: entryId, hearings: own, isSettled: own.at(-1)?.ends ?? false }
  })
}
