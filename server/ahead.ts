import type { FastifyInstance } from 'fastify'
import { nextWeekOn, weekStartOf } from '../domain/weeks.ts'
import { answers } from './answers.ts'
import { readClock } from './book/clock.ts'
import type { Database } from './database/connection.ts'
import { currentGroup } from './people/group/store.ts'
import { shownWeek } from './rotation/week/view.ts'
import { localDate } from './web/pages/visit.ts'

/** So long nobody may have asked for anything: reading for what is reckoned ahead keeps the thread for a moment. Own choice, no source. */
const QUIET_MS = 2000

interface Ahead {
  db: Database
  now: () => Date
  quietMs?: number
  /** Has the same reckoned where other pages are made. */
  there?: (machineAt: Date) => Promise<unknown>
  /** Hears of each round that was reckoned. */
  done?: () => void
}

/**
 * Once something was written and everybody is served, the weeks that are looked at next are reckoned, so that whoever opens them
 * does not wait. What fails is left to the page that asks for it, which says so.
 */
export function reckonAhead(
  app: FastifyInstance,
  { db, now, quietMs = QUIET_MS, there = async () => {}, done = () => {} }: Ahead,
): void {
  let timer: NodeJS.Timeout | undefined
  let isDue = true
  app.addHook('onResponse', async ({ method }) => {
    isDue ||= method === 'POST'
    clearTimeout(timer)
    if (!isDue) return
    timer = setTimeout(() => {
      isDue = false
      const at = now()
      Promise.all([there(at), reckonWeeks(db, at)]).then(done, (error) => app.log.warn(error))
    }, quietMs).unref()
  })
  app.addHook('onClose', async () => clearTimeout(timer))
}

export async function reckonWeeks(db: Database, machineAt: Date): Promise<void> {
  const group = await currentGroup(db)
  if (!group) return
  const { readAt } = await readClock(db, machineAt)
  const today = localDate(readAt, group.timeZone)
  const current = weekStartOf(today, group)
  for (const weekStartOn of [current, nextWeekOn(current, group)])
    await shownWeek(db, answers.rotation, { group, weekStartOn, today })
}
