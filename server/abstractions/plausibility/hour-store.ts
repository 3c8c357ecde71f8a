import type { Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { joinersOf } from '../../book/merge/joiners-store.ts'
import { isNewBook } from '../../book/names/first-days.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** As what it is settled that an hour hangs on a clock in doubt. */
export const BY_THE_HOUR = 'clock'

/** Entries that count or not by the hour of their writing: asked before a week was published, said before a turn, booked first. */
const KINDS = ['turn-outcome', 'turn-booking', 'turn-swap', 'swap-consent', 'water-request', 'standing-request']

interface HourInDoubt {
  id: string
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
}

const unsettled = readTogether('odd', (db) =>
  db
    .selectFrom('clockMark')
    .innerJoin('entry', 'entry.id', 'clockMark.entryId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select(['entry.id', 'entry.writtenBy as writerId', 'writer.name as writerName', 'entry.writtenAt'])
    .where('entry.kind', 'in', KINDS)
    .where('entry.id', 'not in', (eb) =>
      eb
        .selectFrom('flagSettled')
        .select('subjectId')
        .where('flagSettled.code', '=', BY_THE_HOUR)
        .where(standing('flagSettled')),
    )
    .where('entry.id', 'not in', (eb) =>
      eb.selectFrom('entry').select('correctsId').where('correctsId', 'is not', null),
    )
    .orderBy(asWritten, 'desc'),
)

/** What hangs on an hour and was written while the clock could not be right, until somebody settles it, with whether it is this visitor's own matter. */
export async function hoursInDoubt({
  db,
  person,
  at,
}: {
  db: Database
  person: { id: Id<'person'> }
  at: Date
}): Promise<(HourInDoubt & { isOwn: boolean })[]> {
  const rows = (await unsettled(db)) as HourInDoubt[]
  if (rows.length === 0) return []
  const isNew = await isNewBook(db, at.toISOString())
  const joiners = await joinersOf(
    db,
    rows.map(({ id }) => id),
  )
  return rows.map((row) => ({
    ...row,
    isOwn: !isNew && (row.writerId === person.id || joiners.get(row.id) === person.id),
  }))
}
