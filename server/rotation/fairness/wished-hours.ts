import { type WishedHours, wishesMet } from '../../../domain/rotation/fairness/wishes-met.ts'
import type { Database } from '../../database/connection.ts'
import { carriedTurns } from '../outcome/carried-turns.ts'
import type { PublishedWeek } from '../published/store.ts'
import { requestDetails } from '../request/detail-store.ts'
import { requestsFor } from '../request/store.ts'

/** The wished hours of some weeks, as they were known when each was published, against the turns as they were carried. */
export async function wishesOf(
  db: Database,
  weeks: readonly PublishedWeek[],
): Promise<{ wished: number; met: number }> {
  const sums = { wished: 0, met: 0 }
  for (const week of weeks) {
    const wishes = await wishedHours(db, week)
    if (wishes.length === 0) continue
    const { wished, met } = wishesMet({ wishes, turns: await carriedTurns(db, week) })
    sums.wished += wished
    sums.met += met
  }
  return sums
}

async function wishedHours(db: Database, { weekStartOn, publishedAt }: PublishedWeek): Promise<WishedHours[]> {
  const requests = (await requestsFor(db, weekStartOn)).filter((request) => request.writtenAt <= publishedAt)
  const details = await requestDetails(
    db,
    requests.map((request) => request.id),
  )
  return requests.flatMap(({ id, plotId }) =>
    details
      .get(id)!
      .times.filter((time) => time.kind === 'wished')
      .map(({ weekday, fromHour, toHour }) => ({ plotId, weekday, fromHour, toHour })),
  )
}
