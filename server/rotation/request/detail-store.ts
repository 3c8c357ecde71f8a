import { DateTime } from 'luxon'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { TurnFacts } from '../../../domain/rotation/week/turn-facts.ts'
import { fallsOn, type WeekRhythm } from '../../../domain/weeks.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { type RequestTime, requestsFor } from './store.ts'

interface RequestDetail {
  times: RequestTime[]
  urgent: string | null
}

/** The hours and the urgency that go with some requests, by the request. */
export async function requestDetails(db: Database, ids: readonly string[]): Promise<Map<string, RequestDetail>> {
  const details = new Map<string, RequestDetail>(ids.map((id) => [id, { times: [], urgent: null }]))
  if (ids.length === 0) return details
  const times = await db
    .selectFrom('requestTime')
    .selectAll()
    .where('entryId', 'in', ids as string[])
    .execute()
  for (const { entryId, kind, weekday, marketDay, fromHour, toHour } of times) {
    const time = { kind: kind as RequestTime['kind'], weekday, marketDay, fromHour, toHour }
    details.get(entryId)?.times.push(time)
  }
  const urgent = await db
    .selectFrom('requestUrgent')
    .selectAll()
    .where('entryId', 'in', ids as string[])
    .execute()
  for (const { entryId, words } of urgent) details.get(entryId)!.urgent = words
  return details
}

/** Hours that the requests of a week call impossible, as the timetable takes them. */
export async function impossibleHours(
  db: Database,
  days: readonly CalendarDate[],
  rhythm: WeekRhythm,
): Promise<TurnFacts['noTurnHours']> {
  return (await hoursAsked(db, { days, rhythm }, 'impossible')).map((hours) => ({ ...hours, words: '' }))
}

/** Hours that the requests of a week wish for, as the timetable takes them. */
export async function wishedHours(
  db: Database,
  days: readonly CalendarDate[],
  rhythm: WeekRhythm,
): Promise<NonNullable<TurnFacts['wishedHours']>> {
  return hoursAsked(db, { days, rhythm }, 'wished')
}

async function hoursAsked(
  db: Database,
  { days, rhythm }: { days: readonly CalendarDate[]; rhythm: WeekRhythm },
  asked: RequestTime['kind'],
) {
  const requests = await requestsFor(db, days[0]!)
  const details = await requestDetails(
    db,
    requests.map((one) => one.id),
  )
  return requests.flatMap(({ id, plotId }) =>
    details
      .get(id)!
      .times.filter(({ kind }) => kind === asked)
      .flatMap(({ fromHour, toHour, ...day }) =>
        days.filter((on) => fallsOn(on, day, rhythm)).map((on) => ({ plotId, on, fromHour, toHour })),
      ),
  )
}

/** Urgent requests that a plot may make in a calendar month, where the group has set nothing else. Common practice, no source. */
const USUAL_URGENT_QUOTA = 1

export async function urgentQuotaOn(db: Database, on: string): Promise<number> {
  const rows = await db
    .selectFrom('urgentQuota')
    .innerJoin('entry', 'entry.id', 'urgentQuota.entryId')
    .select(['fromOn', 'perMonth', 'entry.seq'])
    .where(standing('urgentQuota'))
    .execute()
  return inForce(rows, on)?.perMonth ?? USUAL_URGENT_QUOTA
}

export async function setUrgentQuota(pen: Pen, quota: { fromOn: CalendarDate; perMonth: number }): Promise<string> {
  const row = { fromOn: quota.fromOn, perMonth: quota.perMonth }
  return appendEntry(pen, { kind: 'urgent-quota' }, { urgentQuota: [row] })
}

/** Urgent requests of a plot written in the calendar month of a day, by the clock of the group's zone. */
export async function urgentInMonth(db: Database, plotId: Id<'plot'>, on: string, timeZone: string): Promise<number> {
  const month = DateTime.fromISO(on, { zone: timeZone }).startOf('month')
  const utc = (instant: DateTime) => instant.toUTC().toISO()!
  const rows = await db
    .selectFrom('requestUrgent')
    .innerJoin('entry', 'entry.id', 'requestUrgent.entryId')
    .leftJoin('waterRequest', 'waterRequest.entryId', 'entry.id')
    .leftJoin('standingRequest', 'standingRequest.entryId', 'entry.id')
    .select('entry.id')
    .where((eb) => eb.or([eb('waterRequest.plotId', '=', plotId), eb('standingRequest.plotId', '=', plotId)]))
    .where('entry.writtenAt', '>=', utc(month))
    .where('entry.writtenAt', '<', utc(month.plus({ months: 1 })))
    .where(standing('requestUrgent'))
    .execute()
  return rows.length
}
