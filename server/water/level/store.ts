import { waterLevelFromReadingM } from '../../../domain/water/level.ts'
import type { LevelReading } from '../../../domain/water/sand/storage-now.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { levelsOf, type WeirSurvey } from '../sand/description.ts'
import { listSurveys, surveyInForce } from '../sand/description-store.ts'

/** One line of the level book. */
export interface Reading {
  /** Its entry's id and place in the book. */
  id: string
  seq: number
  weirId: string
  readOn: string
  /** Local clock time, `06:30`. */
  readAt: string
  /** The same moment as a UTC instant. */
  happenedAt: string
  /** Centimetres from the fixed mark down to the water. */
  depthCm: number
  readerId: string | null
  readerName: string | null
  /** UTC instant; the moment of the reading itself when the pump was running; null when nobody wrote it. */
  pumpOffSinceAt: string | null
  /** 0 while the pump runs, null when nobody wrote it. */
  hoursSincePumping: number | null
  flowSeen: boolean
  remark: string | null
  /** By the survey of that day; null when the sand was described only later. */
  waterLevelM: number | null
}

interface ReadingFilter {
  weirId?: string
  fromOn?: string
  toOn?: string
}

/** The readings that stand, oldest first; those of one day by clock and then by the order of writing. */
export async function listReadings(db: Database, filter: ReadingFilter = {}): Promise<Reading[]> {
  const surveys = await listSurveys(db, filter.weirId)
  const rows = await readingRows(db)
    .where(standing('level_reading'))
    .$if(filter.weirId !== undefined, (query) => query.where('weir_id', '=', filter.weirId!))
    .$if(filter.fromOn !== undefined, (query) => query.where('on_date', '>=', filter.fromOn!))
    .$if(filter.toOn !== undefined, (query) => query.where('on_date', '<=', filter.toOn!))
    .orderBy('on_date')
    .orderBy('at_time')
    .orderBy('entry.seq')
    .execute()
  return rows.map((row) => readingOf(row, surveys))
}

/** The last reading up to a day, by weir. */
export async function latestReadings(db: Database, on: string): Promise<Map<string, Reading>> {
  const readings = await listReadings(db, { toOn: on })
  return new Map(readings.map((reading) => [reading.weirId, reading]))
}

export interface WrittenReading extends Reading {
  writtenAt: string
  writtenByName: string
  reason: string | null
  /** The reading that this one corrects, and the one that corrects it. */
  correctsId: string | null
  correctedById: string | null
}

/** One reading, standing or corrected, with who wrote it and what it has to do with others. */
export async function findReading(db: Database, id: string): Promise<WrittenReading | undefined> {
  const row = await readingRows(db)
    .innerJoin('person as writer', 'writer.entry_id', 'entry.written_by')
    .select(['entry.written_at', 'entry.reason', 'entry.corrects_id', 'writer.name as writer_name'])
    .where('level_reading.entry_id', '=', id)
    .executeTakeFirst()
  if (!row) return undefined
  const correction = await db.selectFrom('entry').select('id').where('corrects_id', '=', id).executeTakeFirst()
  return {
    ...readingOf(row, await listSurveys(db, row.weir_id)),
    writtenAt: row.written_at,
    writtenByName: row.writer_name,
    reason: row.reason,
    correctsId: row.corrects_id,
    correctedById: correction?.id ?? null,
  }
}

export interface NewReading {
  weirId: string
  readOn: string
  readAt: string
  /** UTC instant of the reading. */
  happenedAt: string
  depthCm: number
  readerId: string | null
  pumpOffSinceAt: string | null
  flowSeen: boolean
  remark: string | null
  /** For a correction: the reading that it replaces, and why. */
  correctsId?: string | null
  reason?: string | null
  paperPage?: string | null
  paperRow?: number | null
}

export async function addLevelReading(pen: Pen, reading: NewReading): Promise<string> {
  const { happenedAt, correctsId, reason, paperPage, paperRow } = reading
  const row = {
    weir_id: reading.weirId,
    on_date: reading.readOn,
    at_time: reading.readAt,
    depth_cm: reading.depthCm,
    reader_id: reading.readerId,
    pump_off_since_at: reading.pumpOffSinceAt,
    flow_seen: reading.flowSeen ? 1 : 0,
    remark: reading.remark,
  }
  const head = { kind: 'level-reading', happenedAt, ...optionalHead({ correctsId, reason, paperPage, paperRow }) }
  return appendEntry(pen, head, { level_reading: [row] })
}

function optionalHead(head: Pick<NewReading, 'correctsId' | 'reason' | 'paperPage' | 'paperRow'>) {
  const { correctsId = null, reason = null, paperPage = null, paperRow = null } = head
  return { correctsId, reason, paperPage, paperRow }
}

function readingRows(db: Database) {
  return db
    .selectFrom('level_reading')
    .innerJoin('entry', 'entry.id', 'level_reading.entry_id')
    .leftJoin('person as reader', 'reader.entry_id', 'level_reading.reader_id')
    .selectAll('level_reading')
    .select(['entry.seq', 'entry.happened_at', 'reader.name as reader_name'])
}

type ReadingRow = Awaited<ReturnType<ReturnType<typeof readingRows>['execute']>>[number]

function readingOf(row: ReadingRow, surveys: readonly WeirSurvey[]): Reading {
  const survey = surveyInForce(surveys, row.weir_id, row.on_date)
  const offMs = row.pump_off_since_at === null ? null : Date.parse(row.happened_at) - Date.parse(row.pump_off_since_at)
  return {
    id: row.entry_id,
    seq: row.seq,
    weirId: row.weir_id,
    readOn: row.on_date,
    readAt: row.at_time,
    happenedAt: row.happened_at,
    depthCm: row.depth_cm,
    readerId: row.reader_id,
    readerName: row.reader_name,
    pumpOffSinceAt: row.pump_off_since_at,
    hoursSincePumping: offMs === null ? null : Math.max(0, offMs / 3_600_000),
    flowSeen: row.flow_seen === 1,
    remark: row.remark,
    waterLevelM:
      survey && waterLevelFromReadingM({ markLevelM: levelsOf(survey).markLevelM, depthToWaterCm: row.depth_cm }),
  }
}

/** A line of the level book as the domain reckons with it. */
export function levelReadingOf(reading: Reading): LevelReading {
  const [hour, minute] = reading.readAt.split(':').map(Number) as [number, number]
  return {
    readOn: reading.readOn,
    readHour: hour + minute / 60,
    depthToWaterCm: reading.depthCm,
    hoursSincePumping: reading.hoursSincePumping,
  }
}
