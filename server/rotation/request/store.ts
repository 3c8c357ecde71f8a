import { group } from 'd3-array'
import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import type { DayInWeek } from '../../../domain/weeks.ts'
import { appendEntry, type Facts, type Pen } from '../../book/entries.ts'
import { askTogether, readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface WaterRequest {
  id: string
  plotId: Id<'plot'>
  weekStartOn: CalendarDate
  /** Null asks for what the plot needs. */
  volumeM3: M3 | null
  askedById: string
  askedByName: string
  writtenAt: Instant
  /** It was asked for every week, not for this one alone. */
  standing: boolean
}

/** An hour of a weekday, of a day of the market week, or of every day, that is wished for or cannot be. */
export interface RequestTime extends DayInWeek {
  kind: 'wished' | 'impossible'
  fromHour: number
  toHour: number
}

/** The last request of each plot for a week, with whoever wrote it in; else what the plot asks for every week. */
export async function requestsFor(db: Database, weekStartOn: CalendarDate): Promise<WaterRequest[]> {
  return (await requestsOfWeeks(db, [weekStartOn])).get(weekStartOn)!
}

/** The same for several weeks. */
export async function requestsOfWeeks(
  db: Database,
  weekStarts: readonly CalendarDate[],
): Promise<Map<string, WaterRequest[]>> {
  if (weekStarts.length === 0) return new Map()
  const once = group(await requestRows(db, weekStarts).execute(), (row) => row.weekStartOn)
  const lasting = await standingRows(db)
  return new Map(
    weekStarts.map((weekStartOn) => {
      const asked = lastOfEach(once.get(weekStartOn) ?? []).map((row) => ({ ...row, standing: false }))
      const others = lastOfEach(lasting.filter(({ fromOn }) => fromOn <= weekStartOn))
        .filter(({ untilOn }) => untilOn === null || untilOn >= weekStartOn)
        .filter(({ plotId }) => !asked.some((request) => request.plotId === plotId))
        .map(({ untilOn: _, fromOn: __, ...row }) => ({ ...row, weekStartOn, standing: true }))
      return [weekStartOn, [...asked, ...others]]
    }),
  )
}

/** The last row of each plot, in the order in which the plots first come. */
function lastOfEach<Row extends { plotId: string }>(rows: readonly Row[]): Row[] {
  return [...new Map(rows.map((row) => [row.plotId, row])).values()]
}

interface AskedRequest {
  plotId: Id<'plot'>
  /** Null where it was asked for every week. */
  weekStartOn: CalendarDate | null
  volumeM3: M3 | null
  happenedAt: Instant
  writer: string
}

/** Every request that stands, by the moment of asking. */
export async function everyRequest(db: Database): Promise<AskedRequest[]> {
  const ofTable = (table: 'waterRequest' | 'standingRequest') =>
    db
      .selectFrom(table)
      .innerJoin('entry', 'entry.id', `${table}.entryId`)
      .innerJoin('person', 'person.entryId', 'entry.writtenBy')
      .select(['plotId', 'volumeM3', 'entry.happenedAt', 'person.name as writer'])
      .where(standing(table))
  const [once, lasting] = await askTogether(
    db,
    ofTable('waterRequest').select('weekStartOn'),
    ofTable('standingRequest'),
  )
  const all = [...once, ...lasting.map((row) => ({ ...row, weekStartOn: null }))]
  return all.toSorted((a, b) => (a.happenedAt < b.happenedAt ? -1 : 1))
}

export function requestRows(db: Database, weekStarts: readonly CalendarDate[]) {
  return (
    db
      .selectFrom('waterRequest')
      .innerJoin('entry', 'entry.id', 'waterRequest.entryId')
      .innerJoin('person', 'person.entryId', 'entry.writtenBy')
      .select(['entry.id', 'plotId', 'weekStartOn', 'volumeM3'])
      .select(['entry.writtenBy as askedById', 'person.name as askedByName', 'entry.writtenAt'])
      .where('weekStartOn', 'in', weekStarts)
      .where(standing('waterRequest'))
      // A list of paper is typed in later than people asked; whoever asked again since has changed it.
      .orderBy('entry.happenedAt')
      .orderBy(asWritten)
  )
}

const standingRows = readTogether('turns', (db) =>
  db
    .selectFrom('standingRequest')
    .innerJoin('entry', 'entry.id', 'standingRequest.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['entry.id', 'plotId', 'volumeM3', 'fromOn', 'untilOn'])
    .select(['entry.writtenBy as askedById', 'person.name as askedByName', 'entry.writtenAt'])
    .where(standing('standingRequest'))
    .orderBy(asWritten),
)

export interface NewRequest {
  plotId: Id<'plot'>
  weekStartOn: CalendarDate
  volumeM3: M3 | null
  forPersonId: Id<'person'> | null
  times?: RequestTime[]
  /** Why it cannot wait; null where it can. */
  urgent?: string | null
  /** Asked for this week and all that follow. */
  standing?: boolean
  /** When it was asked, if not now. */
  happenedAt?: Instant
  /** How it was asked, where whoever asks does not write it in, and how its volume was typed. */
  beside?: Pick<Facts, 'askedThrough' | 'typedVolume'>
}

export async function addRequest(pen: Pen, request: NewRequest): Promise<string> {
  const {
    plotId,
    weekStartOn,
    volumeM3,
    forPersonId,
    times = [],
    urgent = null,
    standing: lasts = false,
    happenedAt,
    beside = {},
  } = request
  const what = { plotId, volumeM3 }
  const more = {
    ...beside,
    requestTime: times.map(({ kind, weekday, marketDay, fromHour, toHour }) => {
      return { kind, weekday, marketDay, fromHour, toHour }
    }),
    requestUrgent: urgent === null ? [] : [{ words: urgent }],
  }
  if (lasts) {
    const row = { ...what, fromOn: weekStartOn, untilOn: null }
    return appendEntry(pen, { kind: 'standing-request', forPersonId, happenedAt }, { standingRequest: [row], ...more })
  }
  return appendEntry(
    pen,
    { kind: 'water-request', forPersonId, happenedAt },
    { waterRequest: [{ ...what, weekStartOn }], ...more },
  )
}

/** Ends what a plot asked for every week; the weeks before keep it. */
export async function endStandingRequest(
  pen: Pen,
  id: string,
  { untilOn, reason, more = {} }: { untilOn: CalendarDate; reason: string; more?: Facts },
): Promise<string> {
  const row = await pen.trx
    .selectFrom('standingRequest')
    .selectAll()
    .where('entryId', '=', id)
    .executeTakeFirstOrThrow()
  const { entryId: _, ...rest } = row
  const ended = { ...rest, untilOn }
  // What was said with it stays with it: an urgent request that is ended has still used its part of the month.
  const times = await pen.trx.selectFrom('requestTime').selectAll().where('entryId', '=', id).execute()
  const urgent = await pen.trx.selectFrom('requestUrgent').selectAll().where('entryId', '=', id).execute()
  const typed = await pen.trx.selectFrom('typedVolume').selectAll().where('entryId', '=', id).execute()
  const through = await pen.trx.selectFrom('askedThrough').selectAll().where('entryId', '=', id).execute()
  return appendEntry(
    pen,
    { kind: 'standing-request', correctsId: id, reason },
    {
      ...more,
      standingRequest: [ended],
      requestTime: times.map(({ entryId: __, ...time }) => time),
      requestUrgent: urgent.map(({ entryId: __, ...one }) => one),
      typedVolume: typed.map(({ entryId: __, ...one }) => one),
      askedThrough: through.map(({ entryId: __, ...one }) => one),
    },
  )
}
