import type { FastifyInstance } from 'fastify'
import { addDays, isCalendarDate } from '../../../domain/calendar.ts'
import { previousWeekOn, weekOf } from '../../../domain/weeks.ts'
import type { Parts } from '../../parts.ts'
import { type Desk, pagesOf } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { listTanks } from '../../works/tank/store.ts'
import { pumpWater } from './pump-balance-store.ts'

/** The balance of each pump; it stands behind the door of the works. */
export function addPumpBalanceRoutes(app: FastifyInstance, parts: Parts): void {
  pagesOf(app, parts).get('/log/working/pumps', 'abstractions.see', showPumps)
}

/** Meters and tanks at dawn and dusk, and the balance of each pump that rests on them. */
async function showPumps(desk: Desk) {
  const { db, group, today, query } = desk
  const asked = query.week ?? ''
  const { startOn: fromOn, endOn: toOn } = weekOf(isCalendarDate(asked) ? asked : today, group)
  const ofWeek = { fromOn, toOn }
  const ofSeason = { fromOn: group.seasonStartOn, toOn: [group.seasonEndOn, today].toSorted()[0]! }
  return page(desk, 'abstractions/balance/pump-balance', {
    title: 'abstractions.pumps.title',
    spans: [
      { name: 'week', ...(await pumpWater(db, ofWeek)), ...ofWeek },
      { name: 'season', ...(await pumpWater(db, ofSeason)), ...ofSeason },
    ],
    before: previousWeekOn(fromOn, group),
    after: toOn >= today ? null : addDays(toOn, 1),
    tanks: await listTanks(db),
    byGravity: (await tankOutletsOn(db, today)).size > 0,
  })
}
