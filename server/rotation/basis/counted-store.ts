import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface Counted {
  entryId: string
  plotId: Id<'plot'>
  on: CalendarDate
  is: M3
}

/** What a plot is said to have received before the book, as it stands. */
export async function writtenBefore(db: Database, seq: number): Promise<Counted[]> {
  return db
    .selectFrom('receivedBefore')
    .innerJoin('entry', 'entry.id', 'receivedBefore.entryId')
    .select(['receivedBefore.entryId', 'plotId', 'untilOn as on', 'volumeM3 as is'])
    .where('entry.seq', '>', seq)
    .where(standing('receivedBefore'))
    .execute()
}

/**
 * Turns that somebody called broken down, as the last word on each stands: what they lack is made good before others get more, so one
 * person's word is read by whoever publishes. What a whole day lost by its pump is read on that day.
 */
export async function saidBrokenDown(db: Database, seq: number): Promise<Counted[]> {
  const rows = await db
    .selectFrom('turnOutcome')
    .innerJoin('entry', 'entry.id', 'turnOutcome.entryId')
    .innerJoin('turn', 'turn.id', 'turnOutcome.turnId')
    .select(['turnOutcome.entryId', 'turn.plotId', 'turn.onDate as on', 'turn.volumeM3 as is'])
    .where('entry.seq', '>', seq)
    .where('cause', '=', 'breakdown')
    .where(standing('turn'))
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('turnOutcome as later')
            .innerJoin('entry as laterEntry', 'laterEntry.id', 'later.entryId')
            .select('later.entryId')
            .whereRef('later.turnId', '=', 'turnOutcome.turnId')
            .whereRef('laterEntry.seq', '>', 'entry.seq')
            .where('later.cause', '!=', 'stand-in')
            // What waits for a second name says nothing yet; nobody hides a word behind it.
            .where('laterEntry.kind', '!=', 'late-excuse'),
        ),
      ),
    )
    .execute()
  return rows.flatMap(({ plotId, ...row }) => (plotId === null ? [] : [{ ...row, plotId }]))
}
