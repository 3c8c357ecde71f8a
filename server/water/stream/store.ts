import { group } from 'd3-array'
import type { CalendarDate, Instant, Weekday } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Litres, M3 } from '../../../domain/units.ts'
import { USUAL_WARN_PART } from '../../../domain/water/data/stream-share.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { NAME_NEEDED, waitsForName } from '../../book/name-needed.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** What the group leaves to the stream and may draw by its permit. */
export interface StreamShare {
  fromOn: CalendarDate
  /** Days of the week on which nothing is drawn for crops. */
  restDays: Weekday[]
  /** The weirs that rest on them; all where none is named. */
  restWeirIds: Id<'weir'>[]
  permitM3: M3 | null
  /** First day of the permit's year, MM-DD. */
  permitYearStart: string | null
  warnPart: number
  words: string | null
}

export const NO_SHARE: StreamShare = {
  fromOn: '',
  restDays: [],
  restWeirIds: [],
  permitM3: null,
  permitYearStart: null,
  warnPart: USUAL_WARN_PART,
  words: null,
}

export async function setStreamShare(pen: Pen, share: StreamShare, minute: string | null = null): Promise<string> {
  const row = {
    fromOn: share.fromOn,
    permitM3: share.permitM3,
    permitYearStart: share.permitYearStart,
    warnPart: share.warnPart,
    words: share.words,
  }
  const days = share.restDays.map((weekday) => ({ weekday }))
  const weirs = share.restWeirIds.map((weirId) => ({ weirId }))
  const facts = { streamShare: [row], streamRestDay: days, streamRestWeir: weirs, ...restingOn(minute), ...NAME_NEEDED }
  return appendEntry(pen, { kind: 'stream-share' }, facts)
}

/** What holds on a day; null while the group has settled nothing. */
export async function streamShareOn(db: Database, on: CalendarDate): Promise<StreamShare | null> {
  const share = inForce(await standingShares(db), on)
  return share ?? null
}

const standingRows = readTogether('water', (db) => shareRows(db).where(standing('streamShare')))

function standingShares(db: Database): Promise<readonly (StreamShare & { seq: number })[]> {
  return kept(db, 'stream shares', null, async () => {
    const rows = await standingRows(db)
    return Promise.all(rows.map(async (row) => ({ ...(await shareOf(db, row)), seq: row.seq })))
  })
}

interface WaitingShare extends StreamShare {
  id: string
  writerName: string
  writtenAt: Instant
}

/** What was written and waits for its second name. */
export async function waitingShares(db: Database): Promise<WaitingShare[]> {
  const waiting = []
  for (const row of await shareRows(db).where(waitsForName('streamShare')).execute()) {
    const { entryId: id, name: writerName, writtenAt } = row
    waiting.push({ ...(await shareOf(db, row)), id, writerName, writtenAt })
  }
  return waiting
}

/** What is settled for later days, the nearest first. */
export async function streamSharesToCome(db: Database, today: CalendarDate): Promise<StreamShare[]> {
  const shares = await standingShares(db)
  const days = [...new Set(shares.map(({ fromOn }) => fromOn))].filter((fromOn) => fromOn > today).sort()
  return days.map((fromOn) => inForce(shares, fromOn)!)
}

function shareRows(db: Database) {
  return db
    .selectFrom('streamShare')
    .innerJoin('entry', 'entry.id', 'streamShare.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .selectAll('streamShare')
    .select(['entry.seq', 'entry.writtenAt', 'person.name'])
}

type ShareRow = Awaited<ReturnType<ReturnType<typeof shareRows>['execute']>>[number]

async function shareOf(db: Database, row: ShareRow): Promise<StreamShare> {
  const weirs = await db.selectFrom('streamRestWeir').select('weirId').where('entryId', '=', row.entryId).execute()
  const days = await db
    .selectFrom('streamRestDay')
    .select('weekday')
    .where('entryId', '=', row.entryId)
    .orderBy('weekday')
    .execute()
  return {
    fromOn: row.fromOn,
    restDays: days.map((day) => day.weekday as Weekday),
    restWeirIds: weirs.map(({ weirId }) => weirId),
    permitM3: row.permitM3,
    permitYearStart: row.permitYearStart,
    warnPart: row.warnPart,
    words: row.words,
  }
}

/** A level below which a weir stays shut for crops; null takes the mark away. */
export interface ShutMark {
  weirId: Id<'weir'>
  fromOn: CalendarDate
  shutBelowLevelM: number | null
  words: string
}

export async function setShutMark(pen: Pen, mark: ShutMark, minute: string | null = null): Promise<string> {
  const { weirId, fromOn, shutBelowLevelM, words } = mark
  const row = { weirId, fromOn, shutBelowLevelM, words }
  return appendEntry(pen, { kind: 'shut-mark' }, { shutMark: [row], ...restingOn(minute) })
}

const markRows = readTogether('water', (db) =>
  db
    .selectFrom('shutMark')
    .innerJoin('entry', 'entry.id', 'shutMark.entryId')
    .selectAll('shutMark')
    .select('entry.seq')
    .where(standing('shutMark')),
)

/** The marks in force on a day, by weir. */
export async function shutMarksOn(db: Database, on: CalendarDate): Promise<Map<string, ShutMark>> {
  const rows = await markRows(db)
  const found = new Map<string, ShutMark>()
  for (const [weirId, own] of group(rows, (row) => row.weirId)) {
    const row = inForce(own, on)
    if (row && row.shutBelowLevelM !== null)
      found.set(weirId, { weirId, fromOn: row.fromOn, shutBelowLevelM: row.shutBelowLevelM, words: row.words })
  }
  return found
}

export interface NewGauging {
  onDate: CalendarDate
  atTime: string
  happenedAt: Instant
  place: string
  method: 'float' | 'bucket'
  /** One for each float or filling. */
  seconds: number[]
  /** Float: the length run and the soundings across. */
  lengthM: number | null
  surfaceFactor: number | null
  points: { offsetM: number; depthM: number }[]
  /** Bucket. */
  litres: Litres | null
  remark: string | null
}

export interface Gauging extends NewGauging {
  id: string
  seq: number
  writerName: string
}

export async function addGauging(pen: Pen, gauging: NewGauging): Promise<string> {
  const row = {
    onDate: gauging.onDate,
    atTime: gauging.atTime,
    place: gauging.place,
    method: gauging.method,
    lengthM: gauging.lengthM,
    surfaceFactor: gauging.surfaceFactor,
    litres: gauging.litres,
    remark: gauging.remark,
  }
  const points = gauging.points.map(({ offsetM, depthM }) => ({ offsetM, depthM }))
  const facts = { streamGauging: [row], gaugingTime: gauging.seconds.map((seconds) => ({ seconds })) }
  const head = { kind: 'stream-gauging', happenedAt: gauging.happenedAt }
  return appendEntry(pen, head, { ...facts, gaugingPoint: points })
}

/** Takes a gauging out of what counts; it stays in the book with the reason. */
export async function strikeGauging(pen: Pen, { id, reason }: { id: string; reason: string }): Promise<string> {
  return appendEntry(pen, { kind: 'stream-gauging', correctsId: id, reason }, {})
}

/** The gaugings that stand, newest first. */
export async function listGaugings(db: Database): Promise<Gauging[]> {
  const rows = await db
    .selectFrom('streamGauging')
    .innerJoin('entry', 'entry.id', 'streamGauging.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .selectAll('streamGauging')
    .select(['entry.seq', 'entry.happenedAt', 'person.name'])
    .where(standing('streamGauging'))
    .orderBy('onDate', 'desc')
    .orderBy('atTime', 'desc')
    .orderBy(asWritten, 'desc')
    .execute()
  const times = group(await db.selectFrom('gaugingTime').selectAll().execute(), (row) => row.entryId)
  const points = group(
    await db.selectFrom('gaugingPoint').selectAll().orderBy('offsetM').execute(),
    (row) => row.entryId,
  )
  return rows.map((row) => ({
    id: row.entryId,
    seq: row.seq,
    onDate: row.onDate,
    atTime: row.atTime,
    happenedAt: row.happenedAt,
    place: row.place,
    method: row.method as Gauging['method'],
    seconds: (times.get(row.entryId) ?? []).map(({ seconds }) => seconds),
    lengthM: row.lengthM,
    surfaceFactor: row.surfaceFactor,
    points: (points.get(row.entryId) ?? []).map((point) => ({ offsetM: point.offsetM, depthM: point.depthM })),
    litres: row.litres,
    remark: row.remark,
    writerName: row.name,
  }))
}
