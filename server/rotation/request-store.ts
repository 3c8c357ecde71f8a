import type { Database } from '../database/connection.ts'
import { appendEntry, type Pen } from '../database/entries.ts'
import { standing } from '../database/standing.ts'

export interface WaterRequest {
  id: string
  plotId: string
  weekStartOn: string
  /** Null asks for what the plot needs. */
  volumeM3: number | null
  askedById: string
  askedByName: string
  writtenAt: string
}

/** The last request of each plot for a week, with whoever wrote it in. */
export async function requestsFor(db: Database, weekStartOn: string): Promise<WaterRequest[]> {
  const rows = await db
    .selectFrom('water_request')
    .innerJoin('entry', 'entry.id', 'water_request.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .select(['entry.id', 'plot_id as plotId', 'week_start_on as weekStartOn', 'volume_m3 as volumeM3'])
    .select(['entry.written_by as askedById', 'person.name as askedByName', 'entry.written_at as writtenAt'])
    .where('week_start_on', '=', weekStartOn)
    .where(standing('water_request'))
    .orderBy('entry.seq')
    .execute()
  return [...new Map(rows.map((row) => [row.plotId, row])).values()]
}

export async function addRequest(
  pen: Pen,
  request: { plotId: string; weekStartOn: string; volumeM3: number | null; forPersonId: string | null },
): Promise<string> {
  const row = { plot_id: request.plotId, week_start_on: request.weekStartOn, volume_m3: request.volumeM3 }
  return appendEntry(pen, { kind: 'water-request', forPersonId: request.forPersonId }, { water_request: [row] })
}
