import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface OutlookSetting {
  fromOn: string
  /** Part of the seasons, 0..1, in which the steady weekly volume must hold. */
  holdsIn: number
  seed: number
}

/** Nine seasons of ten, as long as the group has chosen nothing else. Common practice, no source. */
export const USUAL_OUTLOOK: OutlookSetting = { fromOn: '', holdsIn: 0.9, seed: 1 }

export async function setOutlook(pen: Pen, { fromOn, holdsIn, seed }: OutlookSetting): Promise<string> {
  return appendEntry(
    pen,
    { kind: 'outlook-setting' },
    { outlook_setting: [{ from_on: fromOn, holds_in: holdsIn, seed }] },
  )
}

/** The setting in force on a day; null while the group has chosen none. */
export async function outlookSettingOn(db: Database, on: string): Promise<OutlookSetting | null> {
  const rows = await db
    .selectFrom('outlook_setting')
    .innerJoin('entry', 'entry.id', 'outlook_setting.entry_id')
    .selectAll('outlook_setting')
    .select('entry.seq')
    .where(standing('outlook_setting'))
    .execute()
  const row = inForce(rows, on)
  return row ? { fromOn: row.from_on, holdsIn: row.holds_in, seed: row.seed } : null
}

export interface RainRecordYear {
  year: number
  /** 1 January first; null for a day that nobody read. */
  rainMm: (number | null)[]
}

export interface RainRecord {
  id: string
  source: string
  writtenAt: string
  writerName: string
  years: RainRecordYear[]
}

export async function addRainRecord(
  pen: Pen,
  { source, years }: { source: string; years: readonly RainRecordYear[] },
): Promise<string> {
  const rows = years.map(({ year, rainMm }) => ({ year, rain_mm: JSON.stringify(rainMm) }))
  return appendEntry(pen, { kind: 'rain-record' }, { rain_record: [{ source }], rain_record_year: rows })
}

/** The records of daily rain that stand, in the order of writing. */
export async function listRainRecords(db: Database): Promise<RainRecord[]> {
  const records = await db
    .selectFrom('rain_record')
    .innerJoin('entry', 'entry.id', 'rain_record.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .select(['rain_record.entry_id as id', 'source', 'entry.written_at as writtenAt', 'person.name as writerName'])
    .where(standing('rain_record'))
    .orderBy('entry.seq')
    .execute()
  const years = await db.selectFrom('rain_record_year').selectAll().orderBy('year').execute()
  return records.map((record) => ({
    ...record,
    years: years
      .filter((row) => row.entry_id === record.id)
      .map((row) => ({ year: row.year, rainMm: JSON.parse(row.rain_mm) as (number | null)[] })),
  }))
}

/** Takes a record out of what counts; it stays in the book with the reason. */
export async function strikeRainRecord(pen: Pen, { id, reason }: { id: string; reason: string }): Promise<string> {
  return appendEntry(pen, { kind: 'rain-record', correctsId: id, reason }, {})
}
