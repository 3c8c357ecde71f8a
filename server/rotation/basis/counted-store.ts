import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { standing } from '../../book/standing.ts'
import { isSince, type Since } from './written-change.ts'

interface Counted {
  entryId: string
  plotId: Id<'plot'>
  on: CalendarDate
  is: M3
}

/** What a plot is said to have received before the book, as it stands. */
export function beforeWritten(since: Since) {
  return since.db
    .selectFrom('receivedBefore')
    .innerJoin('entry', 'entry.id', 'receivedBefore.entryId')
    .select(['receivedBefore.entryId', 'plotId', 'untilOn as on', 'volumeM3 as is'])
    .where(isSince(since))
    .where(standing('receivedBefore'))
}

export function turnsSaid(since: Since) {
  return since.db
    .selectFrom('turnOutcome')
    .innerJoin('entry', 'entry.id', 'turnOutcome.entryId')
    .innerJoin('turn', 'turn.id', 'turnOutcome.turnId')
    .select(['turnOutcome.entryId', 'turn.plotId', 'turn.onDate as on', 'turn.volumeM3 as is', 'cause'])
    .where(isSince(since))
    .where('entry.kind', '=', 'turn-outcome')
    .where(({ or, and, eb }) => or([eb('cause', '=', 'breakdown'), and([eb('cause', '=', 'excused'), saidAfterwards])]))
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
}

/**
 * Turns that somebody called broken down, or excused when their day was over or a no-show stood there, as the last word on each stands:
 * what they lack is made good before others get more, so one person's word is read by whoever publishes. What a whole day lost by its
 * pump is read on that day, and what the committee excuses after the hour has its two names.
 */
export async function saidSince(since: Since): Promise<(Counted & { what: 'broken' | 'excused' })[]> {
  const rows = await turnsSaid(since).execute()
  return rows.flatMap(({ plotId, cause, ...row }) =>
    plotId === null ? [] : [{ ...row, plotId, what: cause === 'excused' ? 'excused' : 'broken' }],
  )
}

const saidAfterwards = sql<boolean>`(substr(entry.written_at, 1, 10) > turn.on_date or exists (
  select 1 from turn_outcome as earlier join entry as said on said.id = earlier.entry_id
  where earlier.turn_id = turn_outcome.turn_id and earlier.cause = 'no-show' and said.seq < entry.seq))`
