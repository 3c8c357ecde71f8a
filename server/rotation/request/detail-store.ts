import { DateTime } from 'luxon'
import { addDays, datesFromTo, weekdayOf } from '../../../domain/calendar.ts'
import type { TurnFacts } from '../../../domain/rotation/week/turn-facts.ts'
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
    .selectFrom('request_time')
    .selectAll()
    .where('entry_id', 'in', ids as string[])
    .execute()
  for (const { entry_id, kind, weekday, from_hour, to_hour } of times) {
    const time = { kind: kind as RequestTime['kind'], weekday, fromHour: from_hour, toHour: to_hour }
    details.get(entry_id)?.times.push(time)
  }
  const urgent = await db
    .selectFrom('request_urgent')
    .selectAll()
    .where('entry_id', 'in', ids as string[])
    .execute()
  for (const { entry_id, words } of urgent) details.get(entry_id)!.urgent = words
  return details
}

/** Hours that the requests of a week call impossible, as the timetable takes them. */
export async function impossibleHours(db: Database, weekStartOn: string): Promise<TurnFacts['noTurnHours']> {
  const requests = await requestsFor(db, weekStartOn)
  const details = await requestDetails(
    db,
    requests.map((one) => one.id),
  )
  return requests.flatMap(({ id, plotId }) =>
    details
      .get(id)!
      .times.filter((time) => time.kind === 'impossible')
      .flatMap(({ weekday, fromHour, toHour }) =>
        datesFromTo(weekStartOn, addDays(weekStartOn, 6))
          .filter((on) => weekday === null || weekdayOf(on) === weekday)
          .map((on) => ({ plotId, on, fromHour, toHour, words: '' })),
      ),
  )
}

/** Urgent requests that a plot may make in a calendar month, where the group has set nothing else. Common practice, no source. */
const USUAL_URGENT_QUOTA = 1

export async function urgentQuotaOn(db: Database, on: string): Promise<number> {
  const rows = await db
    .selectFrom('urgent_quota')
    .innerJoin('entry', 'entry.id', 'urgent_quota.entry_id')
    .select(['from_on', 'per_month', 'entry.seq'])
    .where(standing('urgent_quota'))
    .execute()
  return inForce(rows, on)?.per_month ?? USUAL_URGENT_QUOTA
}

export async function setUrgentQuota(pen: Pen, quota: { fromOn: string; perMonth: number }): Promise<string> {
  const row = { from_on: quota.fromOn, per_month: quota.perMonth }
  return appendEntry(pen, { kind: 'urgent-quota' }, { urgent_quota: [row] })
}

/** Urgent requests of a plot written in the calendar month of a day, by the clock of the group's zone. */
export async function urgentInMonth(db: Database, plotId: string, on: string, timeZone: string): Promise<number> {
  const month = DateTime.fromISO(on, { zone: timeZone }).startOf('month')
  const utc = (instant: DateTime) => instant.toUTC().toISO()!
  const rows = await db
    .selectFrom('request_urgent')
    .innerJoin('entry', 'entry.id', 'request_urgent.entry_id')
    .leftJoin('water_request', 'water_request.entry_id', 'entry.id')
    .leftJoin('standing_request', 'standing_request.entry_id', 'entry.id')
    .select('entry.id')
    .where((eb) => eb.or([eb('water_request.plot_id', '=', plotId), eb('standing_request.plot_id', '=', plotId)]))
    .where('entry.written_at', '>=', utc(month))
    .where('entry.written_at', '<', utc(month.plus({ months: 1 })))
    .where(standing('request_urgent'))
    .execute()
  return rows.length
}
