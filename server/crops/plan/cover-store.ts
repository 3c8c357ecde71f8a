import type { CalendarDate } from '../../../domain/calendar.ts'
import type { GroundCover } from '../../../domain/crops/crop/ground-cover.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** What young trees were seen to shade on a day. */
export interface SeenCover extends GroundCover {
  onDate: CalendarDate
}

const coverRows = readTogether('crops', (db) =>
  db
    .selectFrom('planCover')
    .innerJoin('entry', 'entry.id', 'planCover.entryId')
    .selectAll('planCover')
    .where(standing('planCover'))
    .orderBy('onDate')
    .orderBy(asWritten),
)

/** The last cover seen of each plan that has one. */
export async function planCovers(db: Database): Promise<Map<string, SeenCover>> {
  const rows = await coverRows(db)
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
