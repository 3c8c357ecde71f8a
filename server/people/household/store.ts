import { group } from 'd3-array'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { partsHousehold } from '../../../domain/people/household.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { NAME_NEEDED } from '../../book/name-needed.ts'
import { householdFacts } from '../../book/names/household.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface NewLine {
  personIds: readonly Id<'person'>[]
  fromOn: CalendarDate
}

/** One line of the register: these live together from a day on, or one of them apart from everybody else. */
interface HouseholdLine {
  id: string
  fromOn: CalendarDate
  persons: { id: string; name: string }[]
  writerName: string
  at: Instant
  /** False while it waits for its second name, and where it was declined or withdrawn. */
  stands: boolean
}

/** Writes who lives together. What takes somebody out of a household holds only with the name of a second officer. */
export async function writeHousehold(pen: Pen, { personIds, fromOn }: NewLine): Promise<string> {
  const livesTogether = personIds.map((personId) => ({ personId, fromOn }))
  const parts = partsHousehold(await householdFacts(pen.trx), { personIds, fromOn })
  return appendEntry(pen, { kind: 'lives-together' }, parts ? { livesTogether, ...NAME_NEEDED } : { livesTogether })
}

/** Every line that was ever written, the last first. */
export async function householdLines(db: Database): Promise<HouseholdLine[]> {
  const rows = await db
    .selectFrom('livesTogether')
    .innerJoin('entry', 'entry.id', 'livesTogether.entryId')
    .innerJoin('person', 'person.entryId', 'livesTogether.personId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select(['livesTogether.entryId', 'livesTogether.fromOn', 'personId', 'person.name', 'entry.writtenAt'])
    .select('writer.name as writerName')
    .orderBy(asWritten, 'desc')
    .orderBy('person.number')
    .execute()
  const standingRows = await db.selectFrom('livesTogether').select('entryId').where(standing('livesTogether')).execute()
  const standingIds = new Set(standingRows.map(({ entryId }) => entryId))
  return [...group(rows, ({ entryId }) => entryId)].map(([id, own]) => ({
    id,
    fromOn: own[0]!.fromOn,
    persons: own.map(({ personId, name }) => ({ id: personId, name })),
    writerName: own[0]!.writerName,
    at: own[0]!.writtenAt,
    stands: standingIds.has(id),
  }))
}
