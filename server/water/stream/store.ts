import { group } from 'd3-array'
import type { CalendarDate, Weekday } from '../../../domain/calendar.ts'
import { USUAL_WARN_PART } from '../../../domain/water/data/stream-share.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** What the group leaves to the stream and may draw by its permit. */
export interface StreamShare {
  fromOn: CalendarDate
  /** Days of the week on which nothing is drawn for crops. */
  restDays: Weekday[]
  permitM3: number | null
  /** First day of the permit's year, MM-DD. */
  permitYearStart: string | null
  warnPart: number
  words: string | null
}

export const NO_SHARE: StreamShare = {
  fromOn: '',
  restDays: [],
  permitM3: null,
  permitYearStart: null,
  warnPart: USUAL_WARN_PART,
  words: null,
}

export async function setStreamShare(pen: Pen, share: StreamShare): Promise<string> {
  const row = {
    from_on: share.fromOn,
    permit_m3: share.permitM3,
    permit_year_start: share.permitYearStart,
    warn_part: share.warnPart,
    words: share.words,
  }
  const days = share.restDays.map((weekday) => ({ weekday }))
  return appendEntry(pen, { kind: 'stream-share' }, { stream_share: [row], stream_rest_day: days })
}

/** What holds on a day; null while the group has settled nothing. */
export async function streamShareOn(db: Database, on: CalendarDate): Promise<StreamShare | null> {
  const rows = await db
    .selectFrom('stream_share')
    .innerJoin('entry', 'entry.id', 'stream_share.entry_id')
    .selectAll('stream_share')
    .select('entry.seq')
    .where(standing('stream_share'))
    .execute()
  const row = inForce(rows, on)
  if (!row) return null
  const days = await db
    .selectFrom('stream_rest_day')
    .select('weekday')
    .where('entry_id', '=', row.entry_id)
    .orderBy('weekday')
    .execute()
  return {
    fromOn: row.from_on,
    restDays: days.map((day) => day.weekday as Weekday),
    permitM3: row.permit_m3,
    permitYearStart: row.permit_year_start,
    warnPart: row.warn_part,
    words: row.words,
  }
}

/** A level below which a weir stays shut for crops; null takes the mark away. */
export interface ShutMark {
  weirId: string
  fromOn: CalendarDate
  shutBelowLevelM: number | null
  words: string
}

export async function setShutMark(pen: Pen, { weirId, fromOn, shutBelowLevelM, words }: ShutMark): Promise<string> {
  const row = { weir_id: weirId, from_on: fromOn, shut_below_level_m: shutBelowLevelM, words }
  return appendEntry(pen, { kind: 'shut-mark' }, { shut_mark: [row] })
}

/** The marks in force on a day, by weir. */
export async function shutMarksOn(db: Database, on: CalendarDate): Promise<Map<string, ShutMark>> {
  const rows = await db
    .selectFrom('shut_mark')
    .innerJoin('entry', 'entry.id', 'shut_mark.entry_id')
    .selectAll('shut_mark')
    .select('entry.seq')
    .where(standing('shut_mark'))
    .execute()
  const found = new Map<string, ShutMark>()
  for (const [weirId, own] of group(rows, (row) => row.weir_id)) {
    const row = inForce(own, on)
    if (row && row.shut_below_level_m !== null)
      found.set(weirId, { weirId, fromOn: row.from_on, shutBelowLevelM: row.shut_below_level_m, words: row.words })
  }
  return found
}

export interface NewGauging {
  onDate: CalendarDate
  atTime: string
  happenedAt: string
  place: string
  method: 'float' | 'bucket'
  /** One for each float or filling. */
  seconds: number[]
  /** Float: the length run and the soundings across. */
  lengthM: number | null
  surfaceFactor: number | null
  points: { offsetM: number; depthM: number }[]
  /** Bucket. */
  litres: number | null
  remark: string | null
}

export interface Gauging extends NewGauging {
  id: string
  seq: number
  writerName: string
}

export async function addGauging(pen: Pen, gauging: NewGauging): Promise<string> {
  const row = {
    on_date: gauging.onDate,
    at_time: gauging.atTime,
    place: gauging.place,
    method: gauging.method,
    length_m: gauging.lengthM,
    surface_factor: gauging.surfaceFactor,
    litres: gauging.litres,
    remark: gauging.remark,
  }
  const points = gauging.points.map(({ offsetM, depthM }) => ({ offset_m: offsetM, depth_m: depthM }))
  const facts = { stream_gauging: [row], gauging_time: gauging.seconds.map((seconds) => ({ seconds })) }
  const head = { kind: 'stream-gauging', happenedAt: gauging.happenedAt }
  return appendEntry(pen, head, { ...facts, gauging_point: points })
}

/** Takes a gauging out of what counts; it stays in the book with the reason. */
export async function strikeGauging(pen: Pen, { id, reason }: { id: string; reason: string }): Promise<string> {
  return appendEntry(pen, { kind: 'stream-gauging', correctsId: id, reason }, {})
}

/** The gaugings that stand, newest first. */
export async function listGaugings(db: Database): Promise<Gauging[]> {
  const rows = await db
    .selectFrom('stream_gauging')
    .innerJoin('entry', 'entry.id', 'stream_gauging.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .selectAll('stream_gauging')
    .select(['entry.seq', 'entry.happened_at', 'person.name'])
    .where(standing('stream_gauging'))
    .orderBy('on_date', 'desc')
    .orderBy('at_time', 'desc')
    .orderBy('entry.seq', 'desc')
    .execute()
  const times = group(await db.selectFrom('gauging_time').selectAll().execute(), (row) => row.entry_id)
  const points = group(
    await db.selectFrom('gauging_point').selectAll().orderBy('offset_m').execute(),
    (row) => row.entry_id,
  )
  return rows.map((row) => ({
    id: row.entry_id,
    seq: row.seq,
    onDate: row.on_date,
    atTime: row.at_time,
    happenedAt: row.happened_at,
    place: row.place,
    method: row.method as Gauging['method'],
    seconds: (times.get(row.entry_id) ?? []).map(({ seconds }) => seconds),
    lengthM: row.length_m,
    surfaceFactor: row.surface_factor,
    points: (points.get(row.entry_id) ?? []).map((point) => ({ offsetM: point.offset_m, depthM: point.depth_m })),
    litres: row.litres,
    remark: row.remark,
    writerName: row.name,
  }))
}
