import type { CalendarDate } from '../../../domain/calendar.ts'
import type { GroundCover } from '../../../domain/crops/crop/ground-cover.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** What young trees were seen to shade on a day. */
export interface SeenCover extends GroundCover {
  onDate: CalendarDate
}

/** The last cover seen of each plan that has one. */
export async function planCovers(db: Database): Promise<Map<string, SeenCover>> {
  const rows = await db
    .selectFrom('planCover')
    .innerJoin('entry', 'entry.id', 'planCover.entryId')
    .selectAll('planCover')
    .where(standing('planCover'))
    .orderBy('onDate')
    .orderBy(asWritten)
    .execute()
  return new Map(
    rows.map(({ planId, onDate, coverFraction, heightM }) => [planId, { onDate, coverFraction, heightM }] as const),
  )
}

export async function setPlanCover(
  pen: Pen,
  { planId, onDate, coverFraction, heightM }: SeenCover & { planId: string },
): Promise<string> {
  return appendEntry(pen, { kind: 'plan-cover' }, { planCover: [{ planId, onDate, coverFraction, heightM }] })
}
