import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

export interface WaterRequest {
  id: string
  plotId: string
  weekStartOn: string
  /** Null asks for what the plot needs. */
  volumeM3: number | null
  askedById: string
  askedByName: string
  writtenAt: string
  /** It was asked for every week, not for this one alone. */
  standing: boolean
}

/** An hour of a weekday, or of every day, that is wished for or cannot be. */
export interface RequestTime {
  kind: 'wished' | 'impossible'
  weekday: number | null
  fromHour: number
  toHour: number
}

/** The last request of each plot for a week, with whoever wrote it in; else what the plot asks for every week. */
export async function requestsFor(db: Database, weekStartOn: string): Promise<WaterRequest[]> {
  const asked = await requestsOfWeek(db, weekStartOn)
  const lasting = (await standingRequestsFor(db, weekStartOn)).filter(
    (one) => !asked.some((request) => request.plotId === one.plotId),
  )
  return [...asked, ...lasting]
}

async function requestsOfWeek(db: Database, weekStartOn: string): Promise<WaterRequest[]> {
  const rows = await db
    .selectFrom('water_request')
    .innerJoin('entry', 'entry.id', 'water_request.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .select(['entry.id', 'plot_id as plotId', 'week_start_on as weekStartOn', 'volume_m3 as volumeM3'])
    .select(['entry.written_by as askedById', 'person.name as askedByName', 'entry.written_at as writtenAt'])
    .where('week_start_on', '=', weekStartOn)
    .where(standing('water_request'))
    // A list of paper is typed in later than people asked; whoever asked again since has changed it.
    .orderBy('entry.happened_at')
    .orderBy('entry.seq')
    .execute()
  return [...new Map(rows.map((row) => [row.plotId, { ...row, standing: false }])).values()]
}

/** Each plot's last request for every week, where it holds in this one. */
async function standingRequestsFor(db: Database, weekStartOn: string): Promise<WaterRequest[]> {
  const rows = await db
    .selectFrom('standing_request')
    .innerJoin('entry', 'entry.id', 'standing_request.entry_id')
    .innerJoin('person', 'person.entry_id', 'entry.written_by')
    .select(['entry.id', 'plot_id as plotId', 'volume_m3 as volumeM3', 'until_on as untilOn'])
    .select(['entry.written_by as askedById', 'person.name as askedByName', 'entry.written_at as writtenAt'])
    .where('from_on', '<=', weekStartOn)
    .where(standing('standing_request'))
    .orderBy('entry.seq')
    .execute()
  return [...new Map(rows.map((row) => [row.plotId, row])).values()]
    .filter((row) => row.untilOn === null || row.untilOn >= weekStartOn)
    .map(({ untilOn: _, ...row }) => ({ ...row, weekStartOn, standing: true }))
}

export interface NewRequest {
  plotId: string
  weekStartOn: string
  volumeM3: number | null
  forPersonId: string | null
  times?: RequestTime[]
  /** Why it cannot wait; null where it can. */
  urgent?: string | null
  /** Asked for this week and all that follow. */
  standing?: boolean
  /** When it was asked, if not now. */
  happenedAt?: string
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
  } = request
  const what = { plot_id: plotId, volume_m3: volumeM3 }
  const more = {
    request_time: times.map(({ kind, weekday, fromHour, toHour }) => {
      return { kind, weekday, from_hour: fromHour, to_hour: toHour }
    }),
    request_urgent: urgent === null ? [] : [{ words: urgent }],
  }
  if (lasts) {
    const row = { ...what, from_on: weekStartOn, until_on: null }
    return appendEntry(pen, { kind: 'standing-request', forPersonId, happenedAt }, { standing_request: [row], ...more })
  }
  return appendEntry(
    pen,
    { kind: 'water-request', forPersonId, happenedAt },
    { water_request: [{ ...what, week_start_on: weekStartOn }], ...more },
  )
}

/** Ends what a plot asked for every week; the weeks before keep it. */
export async function endStandingRequest(pen: Pen, id: string, untilOn: string, reason: string): Promise<string> {
  const row = await pen.trx
    .selectFrom('standing_request')
    .selectAll()
    .where('entry_id', '=', id)
    .executeTakeFirstOrThrow()
  const { entry_id: _, ...rest } = row
  const ended = { ...rest, until_on: untilOn }
  // What was said with it stays with it: an urgent request that is ended has still used its part of the month.
  const times = await pen.trx.selectFrom('request_time').selectAll().where('entry_id', '=', id).execute()
  const urgent = await pen.trx.selectFrom('request_urgent').selectAll().where('entry_id', '=', id).execute()
  return appendEntry(
    pen,
    { kind: 'standing-request', correctsId: id, reason },
    {
      standing_request: [ended],
      request_time: times.map(({ entry_id: __, ...time }) => time),
      request_urgent: urgent.map(({ entry_id: __, ...one }) => one),
    },
  )
}
