import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { type HoursSincePumping, waterLevelFromReadingM } from '../../../domain/water/level.ts'
import type { LevelReading } from '../../../domain/water/sand/storage-now.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { levelsOf, type WeirSurvey } from '../sand/description.ts'
import { listSurveys, surveyInForce } from '../sand/description-store.ts'

/** One line of the level book. */
export interface Reading {
  /** Its entry's id and place in the book. */
  id: string
  seq: number
  weirId: Id<'weir'>
  readOn: CalendarDate
  /** Local clock time, `06:30`. */
  readAt: Instant
  /** The same moment as a UTC instant. */
  happenedAt: Instant
  /** Centimetres from the fixed mark down to the water. */
  depthCm: number
  readerId: Id<'person'> | null
  readerName: string | null
  writerId: Id<'person'>
  writtenAt: Instant
  /** UTC instant; null while the pump runs and when nobody wrote it. */
  pumpOffSinceAt: Instant | null
  /** Null when nobody wrote it. */
  hoursSincePumping: HoursSincePumping
  flowSeen: boolean
  remark: string | null
  /** By the survey of that day; null when the sand was described only later. */
  waterLevelM: number | null
}

interface ReadingFilter {
  weirId?: Id<'weir'>
  fromOn?: CalendarDate
  toOn?: CalendarDate
}

/** The readings that stand, oldest first; those of one day by clock and then by the order of writing. */
export async function listReadings(db: Database, filter: ReadingFilter = {}): Promise<Reading[]> {
  const surveys = await listSurveys(db, filter.weirId)
  const rows = await standingReadings(db, filter).execute()
  return rows.map((row) => readingOf(row, surveys))
}

export function standingReadings(db: Database, filter: ReadingFilter) {
  return readingRows(db)
    .where(standing('levelReading'))
    .$if(filter.weirId !== undefined, (query) => query.where('weirId', '=', filter.weirId!))
    .$if(filter.fromOn !== undefined, (query) => query.where('onDate', '>=', filter.fromOn!))
    .$if(filter.toOn !== undefined, (query) => query.where('onDate', '<=', filter.toOn!))
    .orderBy('onDate')
    .orderBy('atTime')
    .orderBy(asWritten)
}

export interface WrittenReading extends Reading {
  writtenByName: string
  reason: string | null
  /** The reading that this one corrects, and the one that corrects it. */
  correctsId: string | null
  correctedById: string | null
}

/** One reading, standing or corrected, with who wrote it and what it has to do with others. */
export async function findReading(db: Database, id: string): Promise<WrittenReading | undefined> {
  const row = await readingRows(db)
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select(['entry.reason', 'entry.correctsId', 'writer.name as writerName'])
    .where('levelReading.entryId', '=', id)
    .executeTakeFirst()
  if (!row) return undefined
  const correction = await db.selectFrom('entry').select('id').where('correctsId', '=', id).executeTakeFirst()
  return {
    ...readingOf(row, await listSurveys(db, row.weirId)),
    writtenByName: row.writerName,
    reason: row.reason,
    correctsId: row.correctsId,
    correctedById: correction?.id ?? null,
  }
}

export interface NewReading {
  weirId: Id<'weir'>
  readOn: CalendarDate
  readAt: Instant
  /** UTC instant of the reading. */
  happenedAt: Instant
  depthCm: number
  readerId: Id<'person'> | null
  pumpOffSinceAt: Instant | null
  pumpRunning: boolean
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
    weirId: reading.weirId,
    onDate: reading.readOn,
    atTime: reading.readAt,
    depthCm: reading.depthCm,
    readerId: reading.readerId,
    pumpOffSinceAt: reading.pumpOffSinceAt,
    pumpRunning: reading.pumpRunning ? 1 : 0,
    flowSeen: reading.flowSeen ? 1 : 0,
    remark: reading.remark,
  }
  const head = { kind: 'level-reading', happenedAt, ...optionalHead({ correctsId, reason, paperPage, paperRow }) }
  return appendEntry(pen, head, { levelReading: [row] })
}

function optionalHead(head: Pick<NewReading, 'correctsId' | 'reason' | 'paperPage' | 'paperRow'>) {
  const { correctsId = null, reason = null, paperPage = null, paperRow = null } = head
  return { correctsId, reason, paperPage, paperRow }
}

function readingRows(db: Database) {
  return db
    .selectFrom('levelReading')
    .innerJoin('entry', 'entry.id', 'levelReading.entryId')
    .leftJoin('person as reader', 'reader.entryId', 'levelReading.readerId')
    .selectAll('levelReading')
    .select(['entry.seq', 'entry.happenedAt', 'entry.writtenBy', 'entry.writtenAt', 'reader.name as readerName'])
}

type ReadingRow = Awaited<ReturnType<ReturnType<typeof readingRows>['execute']>>[number]

function readingOf(row: ReadingRow, surveys: readonly WeirSurvey[]): Reading {
  const survey = surveyInForce(surveys, row.weirId, row.onDate)
  const hoursSincePumping = hoursSince(row)
  return {
    id: row.entryId,
    seq: row.seq,
    weirId: row.weirId,
    readOn: row.onDate,
    readAt: row.atTime,
    happenedAt: row.happenedAt,
    depthCm: row.depthCm,
    readerId: row.readerId,
    readerName: row.readerName,
    writerId: row.writtenBy,
    writtenAt: row.writtenAt,
    pumpOffSinceAt: hoursSincePumping === 'running' ? null : row.pumpOffSinceAt,
    hoursSincePumping,
    flowSeen: row.flowSeen === 1,
    remark: row.remark,
    waterLevelM:
      survey && waterLevelFromReadingM({ markLevelM: levelsOf(survey).markLevelM, depthToWaterCm: row.depthCm }),
  }
}

function hoursSince({ pumpRunning, pumpOffSinceAt, happenedAt }: ReadingRow): HoursSincePumping {
  const wasWrittenRunning = pumpRunning === null && pumpOffSinceAt === happenedAt
  if (pumpRunning === 1 || wasWrittenRunning) return 'running'
  return pumpOffSinceAt === null ? null : Math.max(0, (Date.parse(happenedAt) - Date.parse(pumpOffSinceAt)) / 3_600_000)
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
