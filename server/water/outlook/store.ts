import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface OutlookSetting {
  fromOn: CalendarDate
  /** Part of the seasons, 0..1, in which the steady weekly volume must hold. */
  holdsIn: number
  seed: number
}

/** Nine seasons of ten, as long as the group has chosen nothing else. Common practice, no source. */
export const USUAL_OUTLOOK: OutlookSetting = { fromOn: '', holdsIn: 0.9, seed: 1 }

export async function setOutlook(pen: Pen, { fromOn, holdsIn, seed }: OutlookSetting): Promise<string> {
  return appendEntry(pen, { kind: 'outlook-setting' }, { outlookSetting: [{ fromOn, holdsIn, seed }] })
}

/** The setting in force on a day; null while the group has chosen none. */
export async function outlookSettingOn(db: Database, on: string): Promise<OutlookSetting | null> {
  const rows = await db
    .selectFrom('outlookSetting')
    .innerJoin('entry', 'entry.id', 'outlookSetting.entryId')
    .selectAll('outlookSetting')
    .select('entry.seq')
    .where(standing('outlookSetting'))
    .execute()
  const row = inForce(rows, on)
  return row ? { fromOn: row.fromOn, holdsIn: row.holdsIn, seed: row.seed } : null
}

export interface RainRecordYear {
  year: number
  /** 1 January first; null for a day that nobody read. */
  rainMm: (number | null)[]
}

export interface RainRecord {
  id: string
  source: string
  writtenAt: Instant
  writerName: string
  years: RainRecordYear[]
}

export async function addRainRecord(
  pen: Pen,
  { source, years }: { source: string; years: readonly RainRecordYear[] },
): Promise<string> {
  const rows = years.map(({ year, rainMm }) => ({ year, rainMm: JSON.stringify(rainMm) }))
  return appendEntry(pen, { kind: 'rain-record' }, { rainRecord: [{ source }], rainRecordYear: rows })
}

/** The records of daily rain that stand, in the order of writing. */
export async function listRainRecords(db: Database): Promise<RainRecord[]> {
  const records = await db
    .selectFrom('rainRecord')
    .innerJoin('entry', 'entry.id', 'rainRecord.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['rainRecord.entryId as id', 'source', 'entry.writtenAt', 'person.name as writerName'])
    .where(standing('rainRecord'))
    .orderBy(asWritten)
    .execute()
  const years = await db.selectFrom('rainRecordYear').selectAll().orderBy('year').execute()
  return records.map((record) => ({
    ...record,
    years: years
      .filter((row) => row.entryId === record.id)
      .map((row) => ({ year: row.year, rainMm: JSON.parse(row.rainMm) as (number | null)[] })),
  }))
}

/** Takes a record out of what counts; it stays in the book with the reason. */
export async function strikeRainRecord(pen: Pen, { id, reason }: { id: string; reason: string }): Promise<string> {
  return appendEntry(pen, { kind: 'rain-record', correctsId: id, reason }, {})
}
