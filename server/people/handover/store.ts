import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { NAME_NEEDED, waitsForName } from '../../book/name-needed.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface NewHandover {
  /** What goes over: an office, the pump, the keys of a store. */
  what: string
  handedOn: CalendarDate
  giverId: Id<'person'>
  takerId: Id<'person'>
  keys: string | null
  /** The cash as both counted it, and as the book had it then; null where no cash goes over. */
  cashMinor: number | null
  cashBookMinor: number | null
  meters: string | null
  openMatters: string | null
  /** How the one who does not write gave the mark; null where that one puts the own name under it. */
  otherGiven: 'present' | 'message' | 'ticket' | null
}

export interface Handover extends NewHandover {
  id: string
  giverName: string
  takerName: string
  writerId: string
  writtenAt: Instant
  /** Both marks are there. */
  stands: boolean
}

export async function writeHandover(pen: Pen, handover: NewHandover): Promise<string> {
  const { otherGiven, takerId } = handover
  const facts = { handover: [handover] }
  return appendEntry(
    pen,
    { kind: 'handover', forPersonId: takerId },
    otherGiven === null ? { ...facts, ...NAME_NEEDED } : facts,
  )
}

/** Handovers with both marks, or that wait for the second; the last first. */
export async function listHandovers(db: Database): Promise<Handover[]> {
  const rows = await db
    .selectFrom('handover')
    .innerJoin('entry', 'entry.id', 'handover.entryId')
    .innerJoin('person as giver', 'giver.entryId', 'handover.giverId')
    .innerJoin('person as taker', 'taker.entryId', 'handover.takerId')
    .selectAll('handover')
    .select(['giver.name as giverName', 'taker.name as takerName', 'entry.writtenBy as writerId', 'entry.writtenAt'])
    .where(({ or }) => or([standing('handover'), waitsForName('handover')]))
    .orderBy('handedOn', 'desc')
    .orderBy(asWritten, 'desc')
    .execute()
  const waiting = await db.selectFrom('handover').select('entryId').where(waitsForName('handover')).execute()
  const waits = new Set(waiting.map(({ entryId }) => entryId))
  return rows.map(({ entryId, ...row }) => ({ ...row, id: entryId, stands: !waits.has(entryId) }))
}

export async function setTerm(
  pen: Pen,
  { personId, office, untilOn }: { personId: Id<'person'>; office: string; untilOn: CalendarDate },
  minute: string | null,
): Promise<string> {
  const facts = { officeTerm: [{ personId, office, untilOn }], ...restingOn(minute) }
  return appendEntry(pen, { kind: 'office-term', forPersonId: personId }, facts)
}

interface Term {
  personId: Id<'person'>
  name: string
  office: string
  untilOn: CalendarDate
}

const termRows = readTogether('people', (db) =>
  db
    .selectFrom('officeTerm')
    .innerJoin('entry', 'entry.id', 'officeTerm.entryId')
    .innerJoin('person', 'person.entryId', 'officeTerm.personId')
    .select(['personId', 'person.name', 'office', 'untilOn'])
    .where(standing('officeTerm'))
    .orderBy(asWritten),
)

/** The last written term of each person in each office, the first to end first. */
export async function lastTerms(db: Database): Promise<Term[]> {
  const rows = await termRows(db)
  const last = new Map(rows.map((row) => [`${row.personId} ${row.office}`, row]))
  return [...last.values()].toSorted((a, b) => a.untilOn.localeCompare(b.untilOn))
}
