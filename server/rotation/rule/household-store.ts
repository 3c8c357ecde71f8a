import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, latestOfEach, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** How many people live from a plot, from a day on. */
interface Household {
  plotId: Id<'plot'>
  fromOn: CalendarDate
  persons: number
}

const householdRows = readTogether('turns', (db) =>
  db
    .selectFrom('plotHousehold')
    .innerJoin('entry', 'entry.id', 'plotHousehold.entryId')
    .selectAll('plotHousehold')
    .select('entry.seq')
    .where(standing('plotHousehold'))
    .orderBy('fromOn')
    .orderBy(asWritten),
)

/** The household of each plot on a day; the first that was written also holds for the days before it. */
export async function householdsOn(db: Database, on: string): Promise<Map<string, Household>> {
  const rows = await householdRows(db)
  const latest = latestOfEach(rows, (row) => row.plotId, on)
  return new Map(latest.map((row) => [row.plotId, { plotId: row.plotId, fromOn: row.fromOn, persons: row.persons }]))
}

export async function setHousehold(pen: Pen, { plotId, fromOn, persons }: Household): Promise<string> {
  return appendEntry(pen, { kind: 'plot-household' }, { plotHousehold: [{ plotId, fromOn, persons }] })
}
