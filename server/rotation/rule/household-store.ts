import { appendEntry, type Pen } from '../../book/entries.ts'
import { latestOfEach, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** How many people live from a plot, from a day on. */
export interface Household {
  plotId: string
  fromOn: string
  persons: number
}

/** The household of each plot on a day; the first that was written also holds for the days before it. */
export async function householdsOn(db: Database, on: string): Promise<Map<string, Household>> {
  const rows = await db
    .selectFrom('plot_household')
    .innerJoin('entry', 'entry.id', 'plot_household.entry_id')
    .selectAll('plot_household')
    .select('entry.seq')
    .where(standing('plot_household'))
    .orderBy('from_on')
    .orderBy('entry.seq')
    .execute()
  const latest = latestOfEach(rows, (row) => row.plot_id, on)
  return new Map(latest.map((row) => [row.plot_id, { plotId: row.plot_id, fromOn: row.from_on, persons: row.persons }]))
}

export async function setHousehold(pen: Pen, { plotId, fromOn, persons }: Household): Promise<string> {
  return appendEntry(
    pen,
    { kind: 'plot-household' },
    { plot_household: [{ plot_id: plotId, from_on: fromOn, persons }] },
  )
}
