import { sql } from 'kysely'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { joinersOf } from '../../book/merge/joiners-store.ts'
import { isNewBook } from '../../book/names/first-days.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** As what it is settled that an hour hangs on a clock in doubt. */
export const BY_THE_HOUR = 'clock'

/** Entries that count or not by the hour of their writing (asked before a week was published, said before a turn, booked first): their register, and where it is read. */
export const REGISTER_OF: Record<string, [register: string, page: string]> = {
  'turn-outcome': ['turnOutcome', '/log'],
  'turn-booking': ['booking', '/turns/asked'],
  'turn-swap': ['turnSwap', '/turns/asked?as=swaps'],
  'swap-consent': ['swapConsent', '/turns/asked?as=swaps'],
  'water-request': ['waterRequest', '/turns/asked'],
  'standing-request': ['standingRequest', '/turns/asked'],
}

export interface HourInDoubt {
  id: string
  kind: string
  plotNumber: number | null
  /** The turn that it was said of, and its day. */
  turnId: Id<'turn'> | null
  turnOn: CalendarDate | null
  writerId: Id<'person'>
  writerName: string
  writtenAt: Instant
}

const unsettled = readTogether('odd', (db) =>
  db
    .selectFrom('clockMark')
    .innerJoin('entry', 'entry.id', 'clockMark.entryId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .leftJoin('turnOutcome', 'turnOutcome.entryId', 'entry.id')
    .leftJoin('turn', 'turn.id', 'turnOutcome.turnId')
    .leftJoin('booking', 'booking.entryId', 'entry.id')
    .leftJoin('waterRequest', 'waterRequest.entryId', 'entry.id')
    .leftJoin('standingRequest', 'standingRequest.entryId', 'entry.id')
    .leftJoin('plot', (join) =>
      join.on(
        sql<boolean>`plot.entry_id = coalesce(turn.plot_id, booking.plot_id, water_request.plot_id, standing_request.plot_id)`,
      ),
    )
    .select(['entry.kind', 'plot.number as plotNumber', 'turn.id as turnId', 'turn.onDate as turnOn'])
    .select(['entry.id', 'entry.writtenBy as writerId', 'writer.name as writerName', 'entry.writtenAt'])
    .where('entry.kind', 'in', Object.keys(REGISTER_OF))
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
